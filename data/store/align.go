package store

import "reflect"

// alignMost bounds the work of pairing the items of two lists; longer lists are
// paired in their order.
const alignMost = 250_000

// pair says that item before of the old list became item after of the new one.
type pair struct{ before, after int }

// align pairs the items of two lists, in order: equal items first, then the
// most alike. As many items are paired as the shorter list has.
func align(before, after reflect.Value) []pair {
	var pairs []pair
	head := 0
	for head < before.Len() && head < after.Len() && same(before.Index(head), after.Index(head)) {
		pairs = append(pairs, pair{head, head})
		head++
	}
	tail := 0
	for tail < before.Len()-head && tail < after.Len()-head &&
		same(before.Index(before.Len()-1-tail), after.Index(after.Len()-1-tail)) {
		tail++
	}
	rows, columns := before.Len()-head-tail, after.Len()-head-tail
	if rows*columns > alignMost {
		for i := range min(rows, columns) {
			pairs = append(pairs, pair{head + i, head + i})
		}
	} else {
		pairs = append(pairs, alignMiddle(before, after, head, rows, columns)...)
	}
	for i := tail; i > 0; i-- {
		pairs = append(pairs, pair{before.Len() - i, after.Len() - i})
	}
	return pairs
}

// alignMiddle maximises the sum of likeness over all pairings in order.
func alignMiddle(before, after reflect.Value, head, rows, columns int) []pair {
	best := make([][]float64, rows+1)
	for i := range best {
		best[i] = make([]float64, columns+1)
	}
	alike := func(i, j int) float64 { return likeness(before.Index(head+i), after.Index(head+j)) }
	for i := rows - 1; i >= 0; i-- {
		for j := columns - 1; j >= 0; j-- {
			best[i][j] = max(best[i+1][j], best[i][j+1], alike(i, j)+best[i+1][j+1])
		}
	}
	var pairs []pair
	for i, j := 0, 0; i < rows && j < columns; {
		switch best[i][j] {
		case alike(i, j) + best[i+1][j+1]:
			pairs = append(pairs, pair{head + i, head + j})
			i++
			j++
		case best[i+1][j]:
			i++
		default:
			j++
		}
	}
	return pairs
}

// likeness is 3 for equal values and at least 1 for any pair, so that pairing
// two items always beats leaving both alone.
func likeness(a, b reflect.Value) float64 {
	a, b = follow(a), follow(b)
	if same(a, b) {
		return 3
	}
	if isScalar(a.Type()) || a.Kind() != reflect.Struct {
		return 1
	}
	equal, all := 0, 0
	for _, f := range fieldsOf(a.Type()) {
		if x, y := a.Field(f.index), b.Field(f.index); !omitted(x, f) || !omitted(y, f) {
			all++
			if same(x, y) {
				equal++
			}
		}
	}
	return 1 + float64(equal)/float64(max(all, 1))
}
