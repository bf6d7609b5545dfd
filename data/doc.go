// Package data holds the plain records of stillbright: bulbs with their lots
// and tests, rigs, cars, sizes, law rows, words and the judged thresholds, and
// what makes them valid. It does no I/O.
//
// The struct tags are the file format. The strict reader (data/store), the
// generated JSON Schemas and the format help all come from them:
//
//	yaml:"key"     the key in the file
//	unit:"mm"      a quantity; the file writes it with a unit of that kind
//	bare:"ok"      a bare number in that unit is allowed: the key names it
//	req:"1"        must be present
//	enum:"a|b"     legal values of a string, or of each item of a list
//	min, max       legal range, in the field's unit
//	doc:"…"        one line for people
//
// A pointer, or an empty string or list, is a value that may be missing.
// Missing is never zero.
package data
