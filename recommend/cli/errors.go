package cli

import (
	"errors"
	"io/fs"
	"os"
	"syscall"

	"stillbright/data"
	"stillbright/data/quantity"
	"stillbright/data/store"
	"stillbright/recommend"
	"stillbright/recommend/ask"
)

// Exit codes, the contract with scripts.
const (
	exitDone      = 0
	exitFailed    = 1
	exitUsage     = 2
	exitNothing   = 3
	exitBadData   = 4
	exitCancelled = 130
)

// exitError carries an exit code without a message of its own: the document
// is complete and says it all.
type exitError int

func (exitError) Error() string { return "" }

// usageError is wrong use of the command line.
type usageError struct {
	message string // what, of what, legal values
	hint    string // something to type
}

func (e *usageError) Error() string { return e.message }

func usage(message, hint string) error { return &usageError{message, hint} }

// problem is an error as a person or a script reads it.
type problem struct {
	code    int
	message string
	hint    string
	at      string // file:line:col
	faults  data.Faults
}

// describe maps every error to its exit code and words. It is the only place
// that does.
func describe(err error) problem {
	var (
		code     exitError
		wrong    *usageError
		need     *recommend.NeedError
		faults   data.Faults
		amount   *quantity.Error
		filePath *fs.PathError
		unsaved  *store.Failure
	)
	switch {
	case errors.As(err, &code):
		return problem{code: int(code)}
	case errors.As(err, &wrong):
		return problem{code: exitUsage, message: wrong.message, hint: wrong.hint}
	case errors.As(err, &need):
		return problem{code: exitUsage, message: need.Message, hint: need.Hint}
	case errors.As(err, &faults) && len(faults) > 0:
		first := faults[0]
		return problem{code: exitBadData, message: faults.Error(), hint: first.Hint, at: first.At(), faults: faults}
	case errors.As(err, &unsaved) && errors.Is(err, store.ErrStopped):
		return problem{code: exitCancelled, message: unsaved.Error(), hint: unsaved.Hint}
	case errors.As(err, &unsaved):
		return problem{code: exitFailed, message: unsaved.Error(), hint: unsaved.Hint}
	case errors.As(err, &amount):
		return problem{code: exitUsage, message: amount.Message(), hint: amount.Hint}
	case errors.Is(err, ask.ErrCancelled):
		return problem{code: exitCancelled, message: "cancelled"}
	case errors.Is(err, syscall.EPIPE), errors.Is(err, os.ErrClosed):
		return problem{code: exitDone}
	case errors.Is(err, fs.ErrNotExist) && errors.As(err, &filePath):
		return problem{code: exitUsage, message: filePath.Path + ": there is no such file"}
	}
	return problem{code: exitFailed, message: err.Error()}
}

// hintOf splits an error about a value into its hint and its words.
func hintOf(err error) (hint, message string) {
	var (
		amount *quantity.Error
		wrong  *recommend.NeedError
	)
	switch {
	case errors.As(err, &amount):
		return amount.Hint, amount.Message()
	case errors.As(err, &wrong):
		return wrong.Hint, wrong.Message
	}
	return "", err.Error()
}
