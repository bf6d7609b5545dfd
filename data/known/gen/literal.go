package main

import (
	"fmt"
	"reflect"
	"sort"
	"strconv"
	"strings"
)

// literal writes a Go expression that makes v again. Zero fields are left out,
// pointers are written as p(value).
func literal(out *strings.Builder, v reflect.Value) {
	switch v.Kind() {
	case reflect.Pointer:
		if v.IsNil() {
			out.WriteString("nil")
			return
		}
		if v.Elem().Kind() == reflect.Struct {
			out.WriteByte('&')
			literal(out, v.Elem())
			return
		}
		out.WriteString("p(")
		if v.Elem().Kind() == reflect.Float64 {
			out.WriteString("float64(" + number(v.Elem().Float()) + ")")
		} else {
			literal(out, v.Elem())
		}
		out.WriteByte(')')
	case reflect.Struct:
		out.WriteString(v.Type().String() + "{")
		first := true
		for i := range v.NumField() {
			if v.Field(i).IsZero() {
				continue
			}
			if !first {
				out.WriteString(", ")
			}
			first = false
			out.WriteString(v.Type().Field(i).Name + ": ")
			literal(out, v.Field(i))
		}
		out.WriteByte('}')
	case reflect.Slice:
		out.WriteString(v.Type().String() + "{")
		long := v.Len() > 0 && v.Index(0).Kind() == reflect.Struct
		for i := range v.Len() {
			if long {
				out.WriteString("\n")
			}
			literal(out, v.Index(i))
			if long || i < v.Len()-1 {
				out.WriteString(", ")
			}
		}
		if long {
			out.WriteByte('\n')
		}
		out.WriteByte('}')
	case reflect.Map:
		out.WriteString(v.Type().String() + "{")
		keys := v.MapKeys()
		sort.Slice(keys, func(i, j int) bool { return keys[i].String() < keys[j].String() })
		for _, key := range keys {
			out.WriteString("\n" + strconv.Quote(key.String()) + ": ")
			literal(out, v.MapIndex(key))
			out.WriteByte(',')
		}
		out.WriteString("\n}")
	case reflect.String:
		out.WriteString(strconv.Quote(v.String()))
	case reflect.Bool:
		out.WriteString(strconv.FormatBool(v.Bool()))
	case reflect.Int:
		out.WriteString(strconv.FormatInt(v.Int(), 10))
	case reflect.Float64:
		out.WriteString(number(v.Float()))
	default:
		panic(fmt.Sprintf("gen: no literal for %s", v.Type()))
	}
}

func number(value float64) string { return strconv.FormatFloat(value, 'g', -1, 64) }
