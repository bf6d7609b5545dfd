package data

import (
	"slices"
	"strings"
	"unicode"
)

// FindPlace finds the place that text names by its code or by a name. Case, blanks,
// hyphens, dots and "the" do not count. A code of a region (DE-BY) is taken where no
// region of its country is listed, so that the country's rule can answer for it. When
// text names nothing, or a name belongs to
// several places, ok is false and near holds what to type instead.
func FindPlace(places []Place, text string) (place Place, near []string, ok bool) {
	wanted := foldPlace(text)
	if wanted == "" {
		return Place{}, []string{}, false
	}
	for _, p := range places {
		if foldPlace(p.Code) == wanted {
			return p, nil, true
		}
	}
	var named []Place
	for _, p := range places {
		if slices.ContainsFunc(p.names(), func(name string) bool { return foldPlace(name) == wanted }) {
			named = append(named, p)
		}
	}
	if len(named) == 1 {
		return named[0], nil, true
	}
	if region, ok := unlistedRegion(places, text); ok {
		return region, nil, true
	}
	near = []string{}
	for _, p := range named {
		near = append(near, p.Code)
	}
	if len(near) == 0 {
		near = nearPlaces(places, wanted)
	}
	if len(near) == 0 {
		near = countryOfCode(places, text)
	}
	return Place{}, near, false
}

// nearPlaces are codes of regions that text may be short for ("TX"), else names like
// it.
func nearPlaces(places []Place, wanted string) []string {
	var regions, keys []string
	shown := map[string]string{}
	for _, p := range places {
		if _, region, found := strings.Cut(p.Code, "-"); found && foldPlace(region) == wanted {
			regions = append(regions, p.Code)
		}
		for _, name := range p.names() {
			key := foldPlace(name)
			shown[key] = name
			keys = append(keys, key)
		}
	}
	if len(regions) > 0 {
		return regions
	}
	near := Near(wanted, keys)
	for i, key := range near {
		near[i] = shown[key]
	}
	return near
}

// unlistedRegion reads text as an ISO 3166-2 code, country and up to three letters
// or digits, of a country whose regions are not listed.
func unlistedRegion(places []Place, text string) (Place, bool) {
	code := strings.ToUpper(strings.TrimSpace(text))
	country, region, found := strings.Cut(code, "-")
	if !found || len(region) < 1 || len(region) > 3 || strings.ContainsFunc(region, func(c rune) bool {
		return (c < 'A' || c > 'Z') && (c < '0' || c > '9')
	}) {
		return Place{}, false
	}
	if _, ok := find(places, country, func(p Place) string { return p.Code }); !ok || country == "EU" {
		return Place{}, false
	}
	if slices.ContainsFunc(places, func(p Place) bool { return p.Country == country }) {
		return Place{}, false
	}
	return Place{Code: code, Name: code, Country: country}, true
}

// countryOfCode is what a code with an unknown region may have meant: a country of
// its own, as PR for US-PR, and the country it starts with.
func countryOfCode(places []Place, text string) []string {
	near := []string{}
	country, region, _ := strings.Cut(strings.ToUpper(strings.TrimSpace(text)), "-")
	for _, code := range []string{region, country} {
		if _, ok := find(places, code, func(p Place) string { return p.Code }); ok {
			near = append(near, code)
		}
	}
	return near
}

func (p Place) names() []string { return append([]string{p.Name}, p.Aliases...) }

// letters without their marks, for names that are typed without them.
var plainLetters = strings.NewReplacer(
	"å", "a", "ã", "a", "á", "a", "ç", "c", "é", "e", "è", "e", "í", "i", "ñ", "n", "ô", "o", "ö", "o", "ó", "o", "ü", "u", "ß", "ss", "&", "and",
)

// foldPlace brings the spellings of a place together.
func foldPlace(text string) string {
	text = plainLetters.Replace(strings.ToLower(strings.TrimSpace(text)))
	text = strings.TrimPrefix(text, "the ")
	return strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) || unicode.IsDigit(r) {
			return r
		}
		return -1
	}, text)
}
