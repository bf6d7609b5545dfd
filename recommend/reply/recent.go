package reply

import linked "container/list"

// recent keeps the values that were used last, up to a number of them.
type recent[T any] struct {
	most  int
	order *linked.List // of entry[T], used last in front
	at    map[string]*linked.Element
}

type entry[T any] struct {
	key   string
	value T
}

func newRecent[T any](most int) *recent[T] {
	return &recent[T]{most: most, order: linked.New(), at: map[string]*linked.Element{}}
}

func (r *recent[T]) get(key string) (value T, ok bool) {
	element, ok := r.at[key]
	if !ok {
		return value, false
	}
	r.order.MoveToFront(element)
	return element.Value.(entry[T]).value, true
}

func (r *recent[T]) put(key string, value T) {
	if element, ok := r.at[key]; ok {
		element.Value = entry[T]{key, value}
		r.order.MoveToFront(element)
		return
	}
	r.at[key] = r.order.PushFront(entry[T]{key, value})
	if r.order.Len() > r.most {
		last := r.order.Back()
		r.order.Remove(last)
		delete(r.at, last.Value.(entry[T]).key)
	}
}
