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
	"stillbright/recommend/cli/wrong"
)

// exitError carries an exit code without a message of its own: the document
// is complete and says it all.
type exitError int

func (exitError) Error() string { return "" }

func usage(message, hint string) error { return wrong.Use(message, hint) }

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
		misused  *wrong.UseError
		need     *recommend.NeedError
		faults   data.Faults
		amount   *quantity.Error
		filePath *fs.PathError
		unsaved  *store.Failure
	)
	switch {
	case errors.As(err, &code):
		return problem{code: int(code)}
	case errors.As(err, &misused):
		return problem{code: wrong.ExitUsage, message: misused.Message, hint: misused.Hint}
	case errors.As(err, &need):
		return problem{code: wrong.ExitUsage, message: need.Message, hint: need.Hint}
	case errors.As(err, &faults) && len(faults) > 0:
		first := faults[0]
		return problem{code: wrong.ExitBadData, message: faults.Error(), hint: first.Hint, at: first.At(), faults: faults}
	case errors.As(err, &unsaved) && errors.Is(err, store.ErrStopped):
		return problem{code: wrong.ExitCancelled, message: unsaved.Error(), hint: unsaved.Hint}
	case errors.As(err, &unsaved):
		return problem{code: wrong.ExitFailed, message: unsaved.Error(), hint: unsaved.Hint}
	case errors.As(err, &amount):
		return problem{code: wrong.ExitUsage, message: amount.Message(), hint: amount.Hint}
	case errors.Is(err, ask.ErrCancelled):
		return problem{code: wrong.ExitCancelled, message: "cancelled"}
	case errors.Is(err, syscall.EPIPE), errors.Is(err, os.ErrClosed):
		return problem{code: wrong.ExitDone}
	case errors.Is(err, fs.ErrNotExist) && errors.As(err, &filePath):
		return problem{code: wrong.ExitUsage, message: filePath.Path + ": there is no such file"}
	}
	return problem{code: wrong.ExitFailed, message: err.Error()}
}
