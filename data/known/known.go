// Package known is what ships inside the program: the sizes, the law, the
// judged thresholds, the words and the demo catalog. The files under yaml/ are
// what people edit; the zz_ files are the same values as Go source, so that the
// program starts without parsing YAML, and laid out by the compiler, so that it
// starts without making them. A test holds the two together.
//
// Each call returns the same value: lists and what is pointed to are shared and
// must not be changed. Copy first.
package known

//go:generate go run ./gen
