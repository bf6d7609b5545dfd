package fitment

import (
	"reflect"
	"strings"
	"testing"

	"stillbright/data"
)

// What ships makes sense, and every number says why.
func TestShippedThresholds(t *testing.T) {
	rules := shipped(t)
	if err := rules.Validate(); err != nil {
		t.Error(err)
	}
	value := reflect.ValueOf(rules)
	for i := range value.NumField() {
		one := value.Field(i).Interface().(data.Judged)
		if one.Value <= 0 || len(strings.Fields(one.Why)) < 4 || strings.Contains(one.Why, "\n") {
			t.Errorf("%s: %v", value.Type().Field(i).Name, one)
		}
	}
}

// Every threshold does something: put to nought or to a thousand, it turns at
// least one example.
func TestEveryThresholdMatters(t *testing.T) {
	rules := shipped(t)
	value := reflect.ValueOf(&rules).Elem()
	for i := range value.NumField() {
		field := value.Field(i).Addr().Interface().(*data.Judged)
		kept := field.Value
		turned := false
		for _, extreme := range []float64{0, 1000} {
			field.Value = extreme
			for id, list := range examples() {
				for _, e := range list {
					b, l := sample()
					e.change(&b, &l)
					f, _ := find1(Check(b, l, rules), id)
					turned = turned || f.Verdict != e.want || !strings.Contains(f.Why, e.says)
				}
			}
		}
		field.Value = kept
		if !turned {
			t.Errorf("%s does nothing", value.Type().Field(i).Name)
		}
	}
}
