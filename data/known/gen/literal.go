package main

import (
	"fmt"
	"reflect"
	"sort"
	"strconv"
	"strings"
)

// literals writes values as Go expressions that the compiler lays out in the
// program file, so that no code runs to make them: no call, and pointers to plain
// values as addresses in an array of their own.
type literals struct {
	name  string // of the variable; the arrays begin with it
	plain map[reflect.Type][]string
	maps  bool // one was met: that the compiler cannot lay out
}

// expression writes v. Zero fields are left out.
func (l *literals) expression(out *strings.Builder, v reflect.Value) {
	switch v.Kind() {
	case reflect.Pointer:
		switch {
		case v.IsNil():
			out.WriteString("nil")
		case v.Elem().Kind() == reflect.Struct:
			out.WriteByte('&')
			l.expression(out, v.Elem())
		default:
			var value strings.Builder
			l.expression(&value, v.Elem())
			of := v.Elem().Type()
			fmt.Fprintf(out, "&%s[%d]", l.array(of), len(l.plain[of]))
			l.plain[of] = append(l.plain[of], value.String())
		}
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
			l.expression(out, v.Field(i))
		}
		out.WriteByte('}')
	case reflect.Slice:
		out.WriteString(v.Type().String() + "{")
		long := v.Len() > 0 && v.Index(0).Kind() == reflect.Struct
		for i := range v.Len() {
			if long {
				out.WriteString("\n")
			}
			l.expression(out, v.Index(i))
			if long || i < v.Len()-1 {
				out.WriteString(", ")
			}
		}
		if long {
			out.WriteByte('\n')
		}
		out.WriteByte('}')
	case reflect.String:
		out.WriteString(strconv.Quote(v.String()))
	case reflect.Bool:
		out.WriteString(strconv.FormatBool(v.Bool()))
	case reflect.Int:
		out.WriteString(strconv.FormatInt(v.Int(), 10))
	case reflect.Float64:
		out.WriteString(strconv.FormatFloat(v.Float(), 'g', -1, 64))
	case reflect.Map:
		l.maps = true
		out.WriteString(v.Type().String() + "{")
		keys := v.MapKeys()
		sort.Slice(keys, func(i, j int) bool { return keys[i].String() < keys[j].String() })
		for _, key := range keys {
			out.WriteString("\n" + strconv.Quote(key.String()) + ": ")
			l.expression(out, v.MapIndex(key))
			out.WriteByte(',')
		}
		out.WriteString("\n}")
	default:
		panic(fmt.Sprintf("gen: no literal for %s", v.Type()))
	}
}

func (l *literals) array(of reflect.Type) string {
	name := of.String()[strings.LastIndex(of.String(), ".")+1:]
	return l.name + strings.ToUpper(name[:1]) + name[1:] + "s"
}

// arrays declares the arrays that the expressions point into.
func (l *literals) arrays(out *strings.Builder) {
	var types []reflect.Type
	for of := range l.plain {
		types = append(types, of)
	}
	sort.Slice(types, func(i, j int) bool { return types[i].String() < types[j].String() })
	for _, of := range types {
		fmt.Fprintf(out, "\nvar %s = [...]%s{", l.array(of), of)
		for i, value := range l.plain[of] {
			if i%12 == 0 {
				out.WriteByte('\n')
			}
			out.WriteString(value + ", ")
		}
		out.WriteString("\n}\n")
	}
}
