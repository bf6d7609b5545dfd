package store

import (
	"crypto/sha256"
	"errors"
	"fmt"
	"math"
	"reflect"
	"slices"
	"strings"
	"sync/atomic"

	"stillbright/data"
	"stillbright/data/quantity"
)

// coder writes values of one type in a compact form and reads them back. Reading
// refuses whatever the YAML reader would refuse, so that a cache, damaged or
// made up, can bring nothing into a catalog that a file could not.
type coder struct {
	write func(w *packer, v reflect.Value)
	read  func(r *unpacker, v reflect.Value)
	shape string // in words: kinds, keys and bounds; another shape is another format
}

var errPacked = errors.New("not a packed record")

// coderOf makes the coder of a record type from its tags.
func coderOf(record reflect.Type) *coder { return coderFor(record, field{}) }

func coderFor(kind reflect.Type, f field) *coder {
	switch kind {
	case reflect.TypeFor[quantity.Money]():
		return moneyCoder()
	case reflect.TypeFor[*float64]():
		return floatPointerCoder(f)
	}
	switch kind.Kind() {
	case reflect.Struct:
		return structCoder(kind)
	case reflect.Pointer:
		inner := coderFor(kind.Elem(), f)
		return &coder{
			write: func(w *packer, v reflect.Value) { inner.write(w, v.Elem()) },
			read: func(r *unpacker, v reflect.Value) {
				v.Set(reflect.New(kind.Elem()))
				inner.read(r, v.Elem())
			},
			shape: "*" + inner.shape,
		}
	case reflect.Slice:
		return sliceCoder(kind, f)
	case reflect.String:
		return textCoder(kind, f)
	case reflect.Float64:
		return &coder{
			write: func(w *packer, v reflect.Value) { w.float(v.Float()) },
			read:  func(r *unpacker, v reflect.Value) { v.SetFloat(r.within(r.float(), &f)) },
			shape: "float" + shapeOf(f),
		}
	case reflect.Int:
		return &coder{
			write: func(w *packer, v reflect.Value) { w.signed(v.Int()) },
			read: func(r *unpacker, v reflect.Value) {
				n := r.signed()
				r.within(float64(n), &f)
				v.SetInt(n)
			},
			shape: "int" + shapeOf(f),
		}
	case reflect.Bool:
		return &coder{
			write: func(w *packer, v reflect.Value) { w.flag(v.Bool()) },
			read:  func(r *unpacker, v reflect.Value) { v.SetBool(r.flag()) },
			shape: "bool",
		}
	}
	panic(fmt.Sprintf("store: no coder for %s", kind)) // a slip in our own source
}

// structCoder packs the fields that are not zero behind a set of bits that names
// them.
func structCoder(kind reflect.Type) *coder {
	fields := fieldsOf(kind)
	if len(fields) > 63 {
		panic(fmt.Sprintf("store: %s has more than 63 fields", kind))
	}
	coders := make([]*coder, len(fields))
	shape := "{"
	var required uint64
	for i, f := range fields {
		of := kind.Field(f.index).Type
		coders[i] = coderFor(of, f)
		shape += f.key + ":" + coders[i].shape + ";"
		if f.required && (of.Kind() == reflect.String || of.Kind() == reflect.Int) { // a whole number that is required is never zero
			required |= 1 << i
		}
	}
	return &coder{
		write: func(w *packer, v reflect.Value) {
			var present uint64
			for i, f := range fields {
				if !v.Field(f.index).IsZero() {
					present |= 1 << i
				}
			}
			w.unsigned(present)
			for i, f := range fields {
				if present&(1<<i) != 0 {
					coders[i].write(w, v.Field(f.index))
				}
			}
		},
		read: func(r *unpacker, v reflect.Value) {
			present := r.unsigned()
			if present>>len(fields) != 0 || present&required != required {
				r.fail()
				return
			}
			for i := range fields {
				if present&(1<<i) != 0 {
					coders[i].read(r, v.Field(fields[i].index))
				}
			}
		},
		shape: shape + "}",
	}
}

func sliceCoder(kind reflect.Type, f field) *coder {
	inner := coderFor(kind.Elem(), f)
	return &coder{
		write: func(w *packer, v reflect.Value) {
			w.unsigned(uint64(v.Len()))
			for i := range v.Len() {
				inner.write(w, v.Index(i))
			}
		},
		read: func(r *unpacker, v reflect.Value) {
			n := r.count()
			list := reflect.MakeSlice(kind, n, n)
			for i := 0; i < n && r.err == nil; i++ {
				inner.read(r, list.Index(i))
			}
			v.Set(list)
		},
		shape: "[]" + inner.shape,
	}
}

// floatPointerCoder takes the numbers of many records from one piece of memory.
func floatPointerCoder(f field) *coder {
	return &coder{
		write: func(w *packer, v reflect.Value) { w.float(v.Elem().Float()) },
		read: func(r *unpacker, v reflect.Value) {
			if len(r.numbers) == 0 {
				r.numbers = make([]float64, 512)
			}
			place := &r.numbers[0]
			r.numbers = r.numbers[1:]
			*place = r.within(r.float(), &f)
			v.Set(reflect.ValueOf(place))
		},
		shape: "*float" + shapeOf(f),
	}
}

func moneyCoder() *coder {
	rule := int(textRules.Add(1)) - 1
	return &coder{
		write: func(w *packer, v reflect.Value) {
			money := v.Interface().(quantity.Money)
			w.float(money.Amount)
			w.text(money.Currency)
		},
		read: func(r *unpacker, v reflect.Value) {
			amount := r.float()
			currency, at := r.text()
			if !(amount >= 0 && amount <= quantity.HighestAmount) || !r.known(at, rule) && !isCurrency(currency) {
				r.fail()
			}
			v.Set(reflect.ValueOf(quantity.Money{Amount: amount, Currency: currency}))
		},
		shape: "money",
	}
}

func isCurrency(code string) bool {
	money, err := quantity.ParseMoney("1" + code)
	return err == nil && code != "" && money.Currency == code
}

// textRules numbers the fields that hold texts.
var textRules atomic.Int64

// textCoder reads texts from the table, each of which was looked at once.
func textCoder(kind reflect.Type, f field) *coder {
	legal := func(text string) bool {
		_, err := checkText(text, f)
		return err == nil
	}
	shape, rule := "text"+shapeOf(f), int(textRules.Add(1))-1
	if kind == reflect.TypeFor[data.Date]() {
		legal = func(text string) bool {
			date, err := data.ParseDate(text)
			return err == nil && string(date) == text
		}
		shape = "date"
	}
	return &coder{
		write: func(w *packer, v reflect.Value) { w.text(v.String()) },
		read: func(r *unpacker, v reflect.Value) {
			text, at := r.text()
			// Few words stand in a field again and again.
			switch {
			case f.enum != nil:
				if !slices.Contains(f.enum, text) {
					r.fail()
				}
			case !r.known(at, rule) && !legal(text):
				r.fail()
			}
			v.SetString(text)
		},
		shape: shape,
	}
}

func shapeOf(f field) string {
	text := ""
	for _, bound := range []*float64{f.min, f.max} {
		text += " "
		if bound != nil {
			text += fmt.Sprint(*bound)
		}
	}
	return fmt.Sprintf("(%v %v %s%s)", f.required, f.id, strings.Join(f.enum, "|"), text)
}

// The coders of the records that have a file each.
type coders struct{ bulb, rig, car *coder }

func newCoders() coders {
	return coders{coderOf(reflect.TypeFor[data.Bulb]()), coderOf(reflect.TypeFor[data.Rig]()), coderOf(reflect.TypeFor[data.Car]())}
}

func (c coders) of(folder string) *coder {
	switch folder {
	case bulbsDir:
		return c.bulb
	case rigsDir:
		return c.rig
	}
	return c.car
}

// shape is a digest of what records look like in this program.
func (c coders) shape() [sha256.Size]byte {
	return sha256.Sum256([]byte(c.bulb.shape + c.rig.shape + c.car.shape))
}

// within checks a number against the bounds of its field.
func (r *unpacker) within(value float64, f *field) float64 {
	if math.IsNaN(value) || math.IsInf(value, 0) || f.min != nil && value < *f.min || f.max != nil && value > *f.max {
		r.fail()
	}
	return value
}
