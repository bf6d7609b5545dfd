package store

// Call is one file-changing call, as a test sees it go by.
type Call struct {
	Op   string // create, write, sync, rename, link, exchange, remove, mkdir, sync folder
	File string // the name inside the folder
	Done bool   // false: it is about to be made; true: it has been made
}

// Seam stands between the program and every call that changes a file, so that a
// test can make each one fail, kill the process at it, or edit a file by hand in
// that moment. An error returned before the call takes the place of the call.
type Seam func(Call) error

// do makes one file-changing call; there is no other way to make one.
func (d disk) do(op, file string, call func() error) error {
	if d.seam == nil {
		return call()
	}
	if err := d.seam(Call{Op: op, File: file}); err != nil {
		return err
	}
	if err := call(); err != nil {
		return err
	}
	return d.seam(Call{Op: op, File: file, Done: true})
}
