package quantity

import "strconv"

// Error is text that could not be read as the wanted quantity.
type Error struct {
	// Text is what was given.
	Text string
	// Reason says what is wrong with it, of what, and what would be legal.
	Reason string
	// Hint is something to type instead; empty when there is none.
	Hint string
}

// Message is the text and the reason, without the hint.
func (e *Error) Message() string {
	return strconv.Quote(e.Text) + ": " + e.Reason
}

// Error is the message with the hint behind it.
func (e *Error) Error() string {
	if e.Hint == "" {
		return e.Message()
	}
	return e.Message() + "; " + e.Hint
}
