// Package wrong says how a verb ends that does not do what was wanted: exit codes, and
// wrong use of the command line in words.
package wrong

import (
	"errors"

	"stillbright/data/quantity"
	"stillbright/recommend"
)

// Exit codes, the contract with scripts.
const (
	ExitDone      = 0
	ExitFailed    = 1
	ExitUsage     = 2
	ExitNothing   = 3
	ExitBadData   = 4
	ExitCancelled = 130
)

// UseError is wrong use of the command line.
type UseError struct {
	Message string // what, of what, legal values
	Hint    string // something to type
}

func (e *UseError) Error() string { return e.Message }

// Use makes a UseError.
func Use(message, hint string) error { return &UseError{message, hint} }

// HintOf splits an error about a value into its hint and its words.
func HintOf(err error) (hint, message string) {
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
