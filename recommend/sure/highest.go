package sure

import (
	"cmp"
	"slices"
)

// highest finds the candidate with the largest weighted sum for given weights
// without looking at every candidate. The triangle of weights is halved along
// its sides again and again, where and when a question falls into it, and each
// part keeps only the candidates that can be first in it: a candidate that
// another one equals or beats at the three corners of a part is beaten in all
// of that part, because scores are linear in the weights.
type highest struct {
	values [][3]float64
	nodes  []part
}

type part struct {
	corners  [3][3]float64
	members  []int
	children [4]int // 0 where not built yet: one at each corner, then the middle
	depth    int
}

const (
	leafSize  = 16
	leafDepth = 12 // many candidates level at one point cannot be told apart by halving
)

func newHighest(values [][3]float64) *highest {
	all := make([]int, len(values))
	for i := range all {
		all[i] = i
	}
	return &highest{
		values: values,
		nodes:  []part{{corners: [3][3]float64{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}}, members: all}},
	}
}

// better returns the candidate with the largest sum at the weights (x, y,
// 1-x-y), or -1 when none is above the candidate named by more than the
// tolerance.
func (h *highest) better(x, y real, than int) int {
	w := weightsAt(x, y)
	at, place := 0, w // place: the weights as a mixture of the corners of the part
	for len(h.nodes[at].members) > leafSize && h.nodes[at].depth < leafDepth {
		child := 3
		for k := range place {
			if place[k] >= 0.5 {
				child = k
			}
		}
		for k := range place {
			switch {
			case child == 3:
				place[k] = 1 - 2*place[k]
			case child == k:
				place[k] = 2*place[k] - 1
			default:
				place[k] = 2 * place[k]
			}
		}
		at = h.child(at, child)
	}
	found, best := -1, dot(w, h.values[than])+tolerance
	for _, i := range h.nodes[at].members {
		if s := dot(w, h.values[i]); s > best {
			found, best = i, s
		}
	}
	return found
}

// child returns the part of a part, built when first asked for.
func (h *highest) child(at, which int) int {
	if known := h.nodes[at].children[which]; known > 0 {
		return known
	}
	node := h.nodes[at]
	c := node.corners
	for k := range c {
		if which == 3 { // the middle: each corner moves to the middle of the far side
			c[k] = halfway(node.corners[(k+1)%3], node.corners[(k+2)%3])
		} else {
			c[k] = halfway(node.corners[k], node.corners[which])
		}
	}
	scores := make([][3]float64, len(node.members))
	for m, i := range node.members {
		for k := range c {
			scores[m][k] = dot(c[k], h.values[i])
		}
	}
	var members []int
	for m, by := range dominators(scores) {
		if by < 0 {
			members = append(members, node.members[m])
		}
	}
	h.nodes[at].children[which] = len(h.nodes)
	h.nodes = append(h.nodes, part{corners: c, members: members, depth: node.depth + 1})
	return len(h.nodes) - 1
}

func halfway(a, b [3]float64) [3]float64 {
	return [3]float64{(a[0] + b[0]) / 2, (a[1] + b[1]) / 2, (a[2] + b[2]) / 2}
}

func dot(w, v [3]float64) float64 { return w[0]*v[0] + w[1]*v[1] + w[2]*v[2] }

// dominators returns for every row the index of a row that is at least as large
// in all three parts, or -1. Of several equal rows one is kept as not dominated;
// the row returned is itself not dominated. Time grows as n log n: the rows are
// visited from the largest first part down, and those not dominated so far are
// kept as a staircase in the other two.
func dominators[N int64 | float64](rows [][3]N) []int {
	order := make([]int, len(rows))
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(i, j int) int {
		a, b := &rows[i], &rows[j]
		for k := range a {
			if a[k] != b[k] {
				if a[k] > b[k] {
					return -1
				}
				return 1
			}
		}
		return cmp.Compare(i, j)
	})
	out := make([]int, len(rows))
	var stairs []int // second part rising, third part falling
	for _, i := range order {
		row := rows[i]
		at, _ := slices.BinarySearchFunc(stairs, row[1], func(s int, second N) int {
			return cmp.Compare(rows[s][1], second)
		})
		if at < len(stairs) && rows[stairs[at]][2] >= row[2] {
			out[i] = stairs[at]
			continue
		}
		out[i] = -1
		from, to := at, at
		for from > 0 && rows[stairs[from-1]][2] <= row[2] {
			from--
		}
		if to < len(stairs) && rows[stairs[to]][1] == row[1] {
			to++
		}
		stairs = slices.Replace(stairs, from, to, i)
	}
	return out
}
