package store

import "reflect"

// follow goes through pointers to the value; a nil pointer stays.
func follow(value reflect.Value) reflect.Value {
	for value.Kind() == reflect.Pointer && !value.IsNil() {
		value = value.Elem()
	}
	return value
}

// omitted says whether a value has no place in the file: it is missing, or it
// is the zero that a missing key reads as.
func omitted(value reflect.Value, f field) bool {
	switch value.Kind() {
	case reflect.Pointer:
		return value.IsNil()
	case reflect.Slice, reflect.Map:
		return value.Len() == 0 && !f.required
	case reflect.Struct:
		if isScalar(value.Type()) {
			return value.IsZero() && !f.required
		}
		return !f.required && isEmpty(value)
	}
	return value.IsZero() && !f.required
}

// isEmpty says whether a group has no key to write.
func isEmpty(group reflect.Value) bool {
	for _, f := range fieldsOf(group.Type()) {
		if !omitted(group.Field(f.index), f) {
			return false
		}
	}
	return true
}

// same compares what the file would hold of two values of one type. An empty
// list and none are the same; where a record came from does not count.
func same(a, b reflect.Value) bool {
	switch a.Kind() {
	case reflect.Pointer:
		if a.IsNil() || b.IsNil() {
			return a.IsNil() == b.IsNil()
		}
		return same(a.Elem(), b.Elem())
	case reflect.Slice:
		if a.Len() != b.Len() {
			return false
		}
		for i := range a.Len() {
			if !same(a.Index(i), b.Index(i)) {
				return false
			}
		}
		return true
	case reflect.Map:
		if a.Len() != b.Len() {
			return false
		}
		for _, key := range a.MapKeys() {
			if other := b.MapIndex(key); !other.IsValid() || !same(a.MapIndex(key), other) {
				return false
			}
		}
		return true
	case reflect.Struct:
		if isScalar(a.Type()) {
			return a.Equal(b)
		}
		for _, f := range fieldsOf(a.Type()) {
			if !same(a.Field(f.index), b.Field(f.index)) {
				return false
			}
		}
		return true
	}
	return a.Equal(b)
}

// clone copies a value with all it points to.
func clone(value reflect.Value) reflect.Value {
	copied := reflect.New(value.Type()).Elem()
	switch value.Kind() {
	case reflect.Pointer:
		if !value.IsNil() {
			copied.Set(reflect.New(value.Type().Elem()))
			copied.Elem().Set(clone(value.Elem()))
		}
	case reflect.Slice:
		if !value.IsNil() {
			copied.Set(reflect.MakeSlice(value.Type(), value.Len(), value.Len()))
			for i := range value.Len() {
				copied.Index(i).Set(clone(value.Index(i)))
			}
		}
	case reflect.Map:
		if !value.IsNil() {
			copied.Set(reflect.MakeMap(value.Type()))
			for _, key := range value.MapKeys() {
				copied.SetMapIndex(key, clone(value.MapIndex(key)))
			}
		}
	case reflect.Struct:
		for i := range value.NumField() {
			copied.Field(i).Set(clone(value.Field(i)))
		}
	default:
		copied.Set(value)
	}
	return copied
}
