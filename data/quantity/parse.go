package quantity

import (
	"math"
	"math/big"
	"strconv"
	"strings"
)

// Parse reads a number with its unit and returns it in the wanted unit, a canonical
// name such as "mm", "min", "km/h" or "C". Fractions (2 1/4 in), feet with inches and
// hours with minutes (1h30) are read; a number without a unit, a unit of another
// kind, a comma, a negative value of anything but a temperature, or a value outside
// what a lamp or a road can have is an *Error.
func Parse(text, unit string) (float64, error) {
	return parse(text, unit, false)
}

// ParseBare is Parse, but a number without a unit is taken in the wanted unit.
func ParseBare(text, unit string) (float64, error) {
	return parse(text, unit, true)
}

// Plain reads a decimal number without a unit: no words such as inf, no hexadecimal,
// no underscores.
func Plain(text string) (value float64, ok bool) {
	value, err := strconv.ParseFloat(text, 64)
	return value, err == nil && value-value == 0 && !strings.ContainsAny(text, "_xXpP")
}

func parse(text, wanted string, bare bool) (float64, error) {
	want, known := canonical(wanted)
	if !known {
		return 0, &Error{Text: wanted, Reason: "not a unit of this program"}
	}
	facts := kindFacts[want.kind]
	parts, fault := scan(text)
	if fault != nil {
		if fault.Hint == "" {
			fault.Hint = wish(want.kind)
		}
		return 0, fault
	}
	if parts[0].unit == "" {
		if !bare {
			return 0, &Error{text, "the unit is missing; " + wantedKind(want.kind), "write " + strings.TrimSpace(text) + want.name + " if you mean " + want.name}
		}
		parts[0].unit = want.name
	}
	units := make([]unitOf, len(parts))
	for i, p := range parts {
		u, fault := resolve(text, p, units[:i], want)
		if fault != nil {
			return 0, fault
		}
		units[i] = unitOf{u, p}
	}
	negative := parts[0].negative
	if negative && !facts.signed {
		return 0, &Error{text, facts.article + " " + want.kind + " cannot be negative", wish(want.kind)}
	}
	if negative && len(parts) > 1 {
		return 0, &Error{text, "a negative value takes one unit", ""}
	}
	exact := new(big.Rat)
	for _, u := range units {
		number := u.value
		if negative {
			number = new(big.Rat).Neg(number)
		}
		exact.Add(exact, convertExact(number, u.unit, want))
	}
	value, _ := exact.Float64()
	return inRange(text, value, want)
}

// unitOf is a number whose unit is known.
type unitOf struct {
	unit
	part
}

// resolve finds the unit of one part and checks that it may stand where it stands.
func resolve(text string, p part, before []unitOf, want unit) (unit, *Error) {
	next, follows := unit{}, false
	if len(before) > 0 {
		step, ok := smaller[before[len(before)-1].name]
		if ok && (p.unit != "" || step.bare) {
			next, follows = canonical(step.unit)
		}
		if p.unit == "" && follows {
			return next, tooMany(text, p, before, step.per, next)
		}
	}
	u, ok := unitNamed(p.unit)
	if !ok {
		reason := "unknown unit " + p.unit + "; " + wantedKind(want.kind)
		if near, found := nearUnit(p.unit, want.kind); found {
			return u, &Error{text, reason, "did you mean " + near.name + "?"}
		}
		return u, &Error{text, reason, wish(want.kind)}
	}
	if u.kind != want.kind {
		facts := kindFacts[u.kind]
		hint := wish(want.kind)
		switch {
		case u.name == "m" && want.kind == "time":
			hint = "write min for minutes"
		case u.name == "deg" && want.kind == "temperature":
			hint = "write C or F behind it"
		}
		return u, &Error{text, "this is " + facts.article + " " + u.kind + "; " + wantedKind(want.kind), hint}
	}
	if len(before) > 0 {
		if !follows || u.name != next.name {
			return u, &Error{text, "these units do not go together", wish(want.kind)}
		}
		return u, tooMany(text, p, before, smaller[before[len(before)-1].name].per, u)
	}
	return u, nil
}

// tooMany refuses 1h90 and 1.5h30: either is a slip whose meaning is not sure.
func tooMany(text string, p part, before []unitOf, per int64, u unit) *Error {
	last := before[len(before)-1]
	if !last.whole {
		return &Error{text, "only a whole number of " + last.name + " can have " + u.name + " behind it", wish(u.kind)}
	}
	if p.negative || p.value.Cmp(big.NewRat(per, 1)) >= 0 {
		return &Error{text, "the " + u.name + " behind the " + last.name + " must be below " + big.NewInt(per).String(), wish(u.kind)}
	}
	return nil
}

// convertExact changes the unit without rounding.
func convertExact(value *big.Rat, from, to unit) *big.Rat {
	result := new(big.Rat).Sub(value, big.NewRat(from.zero, 1))
	result.Mul(result, big.NewRat(from.num, from.den))
	result.Mul(result, big.NewRat(to.den, to.num))
	return result.Add(result, big.NewRat(to.zero, 1))
}

func inRange(text string, value float64, u unit) (float64, error) {
	facts := kindFacts[u.kind]
	lowest, _ := Convert(facts.low, UnitsOf(u.kind)[0], u.name)
	highest, _ := Convert(facts.high, UnitsOf(u.kind)[0], u.name)
	if value < lowest || value > highest {
		return 0, &Error{text, "out of range; " + facts.article + " " + u.kind + " lies between " +
			Format(lowest, u.name, 6) + " and " + Format(highest, u.name, 6), ""}
	}
	return value, nil
}

func wantedKind(kind string) string {
	return kindFacts[kind].article + " " + kind + " is wanted: " + strings.Join(UnitsOf(kind), " ")
}

func wish(kind string) string {
	return "for example " + kindFacts[kind].example
}

// Convert changes a value from one canonical unit to another of the same kind. It
// fails for an unknown unit, for units of two kinds and for a value that is not
// finite. Domain: any finite number; factors are exact (NIST SP 811).
func Convert(value float64, from, to string) (float64, error) {
	source, ok := canonical(from)
	if !ok {
		return 0, &Error{Text: from, Reason: "not a unit of this program"}
	}
	target, ok := canonical(to)
	if !ok {
		return 0, &Error{Text: to, Reason: "not a unit of this program"}
	}
	if source.kind != target.kind {
		return 0, &Error{Text: from, Reason: "this is " + kindFacts[source.kind].article + " " + source.kind + "; " + wantedKind(target.kind)}
	}
	if math.IsNaN(value) || math.IsInf(value, 0) {
		return 0, &Error{Text: from, Reason: "not a finite number"}
	}
	if from == to {
		return value, nil
	}
	result, _ := convertExact(new(big.Rat).SetFloat64(value), source, target).Float64()
	if math.IsInf(result, 0) {
		return 0, &Error{Text: from, Reason: "too large for a number"}
	}
	return result, nil
}
