package answer_test

import (
	"fmt"
	"reflect"
	"strconv"
	"strings"
	"testing"

	"stillbright/data"
	"stillbright/data/known"
	"stillbright/data/quantity"
	"stillbright/recommend"
	"stillbright/recommend/answer"
	"stillbright/recommend/sheets"
)

// filler sets every field of a record to a value of its own, and keeps how a sheet
// has to show it.
type filler struct {
	n    int
	want map[string]string // key of the field -> text
}

func (f *filler) fill(key string, value reflect.Value, tag reflect.StructTag) {
	f.n++
	switch value.Kind() {
	case reflect.Pointer:
		value.Set(reflect.New(value.Type().Elem()))
		if money, ok := value.Interface().(*quantity.Money); ok {
			*money = quantity.Money{Amount: 61, Currency: "USD"}
			f.want[key] = "61 USD"
			return
		}
		f.fill(key, value.Elem(), tag)
	case reflect.Struct:
		for i := range value.NumField() {
			if field := value.Type().Field(i); field.Tag.Get("yaml") != "" && field.Tag.Get("yaml") != "-" {
				f.fill(key+"."+field.Tag.Get("yaml"), value.Field(i), field.Tag)
			}
		}
	case reflect.Slice:
		value.Set(reflect.MakeSlice(value.Type(), 1, 1))
		f.fill(key, value.Index(0), tag)
	case reflect.Float64:
		least, most := bound(tag.Get("min"), 0), bound(tag.Get("max"), 100)
		number := least + (most-least)*float64(200+f.n)/1000
		number, _ = strconv.ParseFloat(strconv.FormatFloat(number, 'g', 4, 64), 64)
		value.SetFloat(number)
		f.want[key] = quantity.Format(number, tag.Get("unit"), 4)
	case reflect.Int:
		value.SetInt(2)
		f.want[key] = "2"
	case reflect.Bool:
		value.SetBool(true)
		f.want[key] = "yes"
	case reflect.String:
		text := fmt.Sprintf("text%d", f.n)
		if words := tag.Get("enum"); words != "" {
			_, text, _ = strings.Cut(words, "|")
			text, _, _ = strings.Cut(text, "|")
		}
		value.SetString(text)
		f.want[key] = strings.ReplaceAll(text, "_", " ")
	}
}

func bound(text string, otherwise float64) float64 {
	if value, err := strconv.ParseFloat(text, 64); err == nil {
		return value
	}
	return otherwise
}

// missing are the fields whose text does not stand in a sheet. Drawn are those that
// are shown as a drawing, or are no statement about the thing.
func (f *filler) missing(sheet string, drawn ...string) (list []string) {
	sheet = strings.Join(strings.Fields(sheet), " ")
	for key, text := range f.want {
		if !strings.Contains(sheet, text) && !strings.HasSuffix(key, ".format") && !strings.HasPrefix(key, "-") && !containsPrefix(drawn, key) {
			list = append(list, key+" = "+text)
		}
	}
	return list
}

func containsPrefix(prefixes []string, key string) bool {
	for _, prefix := range prefixes {
		if strings.HasPrefix(key, prefix) {
			return true
		}
	}
	return false
}

// TestEveryFieldIsShown: a bulb with its test and rig, and a car with its lamp, in
// which every field is set, are shown with every field.
func TestEveryFieldIsShown(t *testing.T) {
	f := filler{want: map[string]string{}}
	var bulb data.Bulb
	var rig data.Rig
	f.fill("bulb", reflect.ValueOf(&bulb).Elem(), "")
	f.fill("rig", reflect.ValueOf(&rig).Elem(), "")
	bulb.Kind, bulb.Size, rig.Size, rig.Beam, rig.Housing = "led", "H7", "H7", "low", "projector"
	bulb.Lots[0].Tests[0].Rig, bulb.Lots[0].Tests[0].Beam = rig.ID, "low"
	bulb.Lots[0].Bought, bulb.Lots[0].Tests[0].Date = "2026-03-02", "2026-03-14"
	for key, text := range map[string]string{"bulb.kind": "led", "bulb.size": "H7", "rig.size": "H7", "rig.beam": "low", "rig.housing": "projector",
		"bulb.lots.tests.rig": rig.ID, "bulb.lots.tests.beam": "low", "bulb.lots.bought": "2026-03-02", "bulb.lots.tests.date": "2026-03-14"} {
		f.want[key] = text
	}
	readings := f.want["bulb.lots.tests.readings.lux"]
	f.want["bulb.lots.tests.readings.lux"] = strings.TrimSuffix(readings, "lx") + " lux"
	f.want["bulb.lots.tests.readings.at"] = strings.TrimSuffix(f.want["bulb.lots.tests.readings.at"], "min") + " min"
	k := recommend.Knowledge{Rules: known.Rules(), Sizes: known.Sizes(), Fit: known.Fit(), Pattern: known.Pattern()}
	c := data.Catalog{Name: "c", Bulbs: []data.Bulb{bulb}, Rigs: []data.Rig{rig}}
	sheet := sheets.Show(&k, &c, bulb, 27)
	for _, missing := range f.missing(answer.Show(&sheet, true).Terminal(100, false), "bulb.lots.tests.pattern.candela", "rig.stock_pattern.candela") {
		t.Errorf("show lacks %s", missing)
	}

	f = filler{want: map[string]string{}}
	var car data.Car
	f.fill("car", reflect.ValueOf(&car).Elem(), "")
	for _, missing := range f.missing(answer.Car(sheets.CarSheetOf(car, &c)).Terminal(100, false)) {
		t.Errorf("car show lacks %s", missing)
	}
	if t.Failed() {
		t.Log(answer.Show(&sheet, true).Terminal(100, false), answer.Car(sheets.CarSheetOf(car, &c)).Terminal(100, false))
	}
}
