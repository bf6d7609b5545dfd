// Package known is what ships inside the program: the sizes, the law, the
// judged thresholds, the words and the demo catalog. The files under yaml/ are
// what people edit; the zz_ files are the same values as Go source, so that the
// program starts without parsing YAML. A test holds the two together.
package known

//go:generate go run ./gen

func p[T any](value T) *T { return &value }
