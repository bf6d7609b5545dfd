package data

import (
	"slices"
	"strings"
	"unicode"
)

// How a size was found.
const (
	MatchCategory = "category" // the category's own name
	MatchAlias    = "alias"    // another name of the same category
	MatchVariant  = "variant"  // a name close to it; the note says how it differs
	MatchReadAs   = "read_as"  // a name that owners use for this category
)

// SizeMatch is a size and how text led to it.
type SizeMatch struct {
	Size Size
	How  string // MatchCategory, MatchAlias, MatchVariant or MatchReadAs
	Note string // remark to show, or empty
}

// FindSize finds the size that text names. Case, blanks, hyphens, slashes and the
// letter O for a zero do not count, and "9005 / HB3" is one name when both parts lead
// to one size. When nothing matches, ok is false and near holds names to try.
func FindSize(sizes []Size, text string) (match SizeMatch, near []string, ok bool) {
	if match, ok = sizeNamed(sizes, text); ok {
		return match, nil, true
	}
	parts := strings.FieldsFunc(text, func(r rune) bool {
		return strings.ContainsRune("/,;()[]|+=&", r)
	})
	if match, near, ok = sizeOfParts(sizes, parts); ok || len(near) > 0 {
		return match, near, ok
	}
	return SizeMatch{}, nearSizes(sizes, text), false
}

// sizeOfParts joins several names. Names of different sizes are no match; they come
// back as the names to choose from.
func sizeOfParts(sizes []Size, parts []string) (SizeMatch, []string, bool) {
	if len(parts) < 2 {
		return SizeMatch{}, nil, false
	}
	var all []SizeMatch
	var categories []string
	for _, part := range parts {
		if strings.TrimSpace(part) == "" {
			continue
		}
		match, ok := sizeNamed(sizes, part)
		if !ok {
			return SizeMatch{}, nil, false
		}
		all = append(all, match)
		if !slices.Contains(categories, match.Size.Category) {
			categories = append(categories, match.Size.Category)
		}
	}
	if len(categories) != 1 {
		return SizeMatch{}, categories, false
	}
	return all[0], nil, true
}

func sizeNamed(sizes []Size, text string) (SizeMatch, bool) {
	wanted := foldSize(text)
	if wanted == "" {
		return SizeMatch{}, false
	}
	for _, size := range sizes {
		match := SizeMatch{Size: size}
		switch {
		case foldSize(size.Category) == wanted:
			match.How = MatchCategory
		case slices.ContainsFunc(size.Aliases, func(name string) bool { return foldSize(name) == wanted }):
			match.How = MatchAlias
		default:
			i := slices.IndexFunc(size.Variants, func(v Variant) bool { return foldSize(v.Name) == wanted })
			if i < 0 {
				continue
			}
			match.How, match.Note = MatchVariant, size.Variants[i].Why
		}
		if size.ReadAs == "" {
			return match, true
		}
		if meant, ok := SizeOf(sizes, size.ReadAs); ok {
			return SizeMatch{Size: meant, How: MatchReadAs, Note: size.ReadAsWhy}, true
		}
	}
	return SizeMatch{}, false
}

// SizeOf returns the size with exactly this category.
func SizeOf(sizes []Size, category string) (Size, bool) {
	return find(sizes, category, func(s Size) string { return s.Category })
}

// nearSizes are names like text, compared without case, blanks and hyphens; a name
// that text is the beginning of counts too ("H27W").
func nearSizes(sizes []Size, text string) []string {
	folded := foldSize(text)
	if folded == "" {
		return []string{}
	}
	shown := map[string]string{}
	var names, begun []string
	for _, size := range sizes {
		for _, name := range size.names() {
			key := foldSize(name)
			shown[key] = name
			names = append(names, key)
			if len(folded) > 2 && strings.HasPrefix(key, folded) && len(begun) < nearMost {
				begun = append(begun, name)
			}
		}
	}
	if len(begun) > 0 {
		return begun
	}
	near := Near(folded, names)
	for i, key := range near {
		near[i] = shown[key]
	}
	return near
}

// names are the category and its aliases and variants.
func (s Size) names() []string {
	names := append([]string{s.Category}, s.Aliases...)
	for _, variant := range s.Variants {
		names = append(names, variant.Name)
	}
	return names
}

// foldSize brings the spellings of a size together. No size has the letter O in its
// name, so an O is always meant as a zero.
func foldSize(text string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case unicode.IsSpace(r) || strings.ContainsRune("-‐‑–_./", r):
			return -1
		case r == 'o' || r == 'O':
			return '0'
		}
		return unicode.ToUpper(r)
	}, text)
}
