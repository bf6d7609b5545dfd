package question

import (
	"errors"
	"fmt"
	"slices"
	"sort"
	"strconv"
	"strings"

	"stillbright/data"
)

// slot names a table of phrases; each is matched on its own.
type slot int

const (
	slotBeam slot = iota
	slotNearBeam
	slotHousing
	slotDriving
	slotClimate
	slotPlace
	slotTown
	slotShortPlace
	slotDemonym
	slotPlaceLead
	slotCurrency
	slotMoneyWord
	slotPer
	slotBudget
	slotUnit
	slotRoom
	slotCanbus
	slotDriver
	slotPlug
	slotTrip
	slotColour
	slotTopic
	slotNegation
	slotAsk // the first of the asks, in the order of Asks
	slots   = slotAsk + 9
)

// Asks are the readings of what is asked, in the order of the contract.
func Asks() []string {
	return []string{"pick", "fit", "compare", "law", "flicker", "aim", "pattern", "size", "other"}
}

// lexicon is the words made ready for matching. It is not changed after it is built.
type lexicon struct {
	root     *node
	first    map[int32][]*node // the nodes after the first word of a phrase
	words    map[string]int32
	stems    map[string]int32
	count    int32
	shortest int
	longest  int
	slips    map[uint64][]string
	sounds   map[string]string // the sound of a word of the mend list: the word, empty if two share it
	guarded  map[string]bool
	sizes    map[string]string
	loose    map[string]string
	dual     map[string]bool   // sizes of one bulb for low and high
	fog      map[string]bool   // sizes made for fog lamps
	fogToo   map[string]bool   // sizes that share the mount of such a one, and serve fog beside another beam
	numbers  map[int32]float64 // by word number
	climate  map[string]string // by place code
	currency map[string]string // by country code
}

// section is one table with the slot it feeds and its legal keys (nil: any).
type section struct {
	name  string
	slot  slot
	table data.Section
	keys  []string
}

// phraseSections lists the tables that are matched as phrases.
func phraseSections(w data.Words) []section {
	return []section{
		{"beams", slotBeam, w.Beams, []string{"low", "high", "fog", "both", "pair", "none"}},
		{"near_beams", slotNearBeam, w.NearBeams, []string{"low", "high", "fog", "both", "pair", "none"}},
		{"housings", slotHousing, w.Housings, []string{"projector", "reflector", "unknown", "none"}},
		{"driving", slotDriving, w.Driving, []string{"city", "suburban", "rural", "highway", "mountain", "rain", "fog", "snow", "offroad", "none"}},
		{"climate", slotClimate, w.Climate, []string{"hot", "mild", "cold", "weather", "none"}},
		{"places", slotPlace, w.Places, nil},
		{"towns", slotTown, w.Towns, []string{"town"}},
		{"short_places", slotShortPlace, w.ShortPlaces, nil},
		{"demonyms", slotDemonym, w.Demonyms, nil},
		{"place_leads", slotPlaceLead, w.PlaceLeads, []string{"lead", "direction", "nation"}},
		{"currencies", slotCurrency, w.Currencies, nil},
		{"money_words", slotMoneyWord, w.MoneyWords, nil},
		{"per", slotPer, w.Per, []string{"each", "pair", "all", "together", "none"}},
		{"budget", slotBudget, w.Budget, []string{"limit", "price", "none"}},
		{"units", slotUnit, w.Units, nil},
		{"room", slotRoom, w.Room, []string{"behind", "other", "none"}},
		{"canbus", slotCanbus, w.Canbus, []string{"true", "warns", "false", "topic", "none"}},
		{"driver", slotDriver, w.Driver, []string{"internal", "inline", "external", "any", "no_box", "topic", "none"}},
		{"plug_and_play", slotPlug, w.PlugAndPlay, []string{"true", "false", "topic", "none"}},
		{"trip", slotTrip, w.Trip, []string{"drive", "each_way", "both_ways", "next_stage", "other", "none"}},
		{"colour", slotColour, w.Colour, []string{"wish", "topic", "other", "none"}},
		{"topics", slotTopic, w.Topics, []string{"headlamp", "light", "off", "none"}},
		{"negation", slotNegation, w.Negation, []string{"not", "but", "rare", "none"}},
	}
}

// Check names what New would leave out of the words: phrases with broken brackets, unknown keys, amounts that
// are no number. It returns nil when all is read.
func Check(words data.Words) error {
	_, err := build(words)
	return err
}

// build makes a lexicon of all that is sound in the words, and names the rest.
func build(words data.Words) (*lexicon, error) {
	l := &lexicon{
		root: &node{}, first: map[int32][]*node{}, words: map[string]int32{}, stems: map[string]int32{}, shortest: 1 << 10,
		slips: map[uint64][]string{}, sounds: map[string]string{}, guarded: map[string]bool{}, sizes: map[string]string{}, loose: map[string]string{},
		dual: map[string]bool{}, fog: map[string]bool{}, fogToo: map[string]bool{}, numbers: map[int32]float64{}, climate: map[string]string{}, currency: map[string]string{},
	}
	var faults []error
	for _, s := range phraseSections(words) {
		for _, value := range sorted(s.table) {
			if s.keys != nil && !slices.Contains(s.keys, value) {
				faults = append(faults, fmt.Errorf("words: %s has no key %q, legal: %s", s.name, value, strings.Join(s.keys, " ")))
				continue
			}
			faults = append(faults, l.addAll(s.slot, value, s.table[value])...)
		}
	}
	for _, key := range sorted(words.Asks) {
		name, _, _ := strings.Cut(key, " ")
		_, weight := askWeight(key)
		at := slices.Index(Asks(), name)
		if at < 0 || weight < 1 || weight > 20 {
			faults = append(faults, fmt.Errorf("words: asks has no key %q, legal: an ask, a space and a weight from 1 to 20", key))
			continue
		}
		faults = append(faults, l.addAll(slotAsk+slot(at), key, words.Asks[key])...)
	}
	faults = append(faults, l.addTables(words)...)
	return l, errors.Join(faults...)
}

// addAll adds the phrases of one key.
func (l *lexicon) addAll(s slot, value string, phrases []string) []error {
	var faults []error
	for _, phrase := range phrases {
		if err := l.add(s, value, phrase); err != nil {
			faults = append(faults, fmt.Errorf("words: %w", err))
		}
	}
	return faults
}

// addTables reads the sections that are looked up word by word.
func (l *lexicon) addTables(words data.Words) []error {
	var faults []error
	for table, into := range map[*data.Section]map[string]string{&words.Sizes: l.sizes, &words.LooseSizes: l.loose, &words.ClimateOf: l.climate, &words.CurrencyOf: l.currency} {
		for _, value := range sorted(*table) {
			for _, name := range (*table)[value] {
				into[name] = value
			}
		}
	}
	for _, value := range sorted(words.Sizes) {
		l.sizes[strings.ToLower(value)] = value
	}
	for _, size := range words.SizeUse["both"] {
		l.dual[size] = true
	}
	for _, size := range words.SizeUse["fog"] {
		l.fog[size] = true
	}
	for _, size := range words.SizeUse["fog_too"] {
		l.fogToo[size] = true
	}
	for _, digits := range sorted(words.Numbers) {
		v, err := strconv.ParseFloat(digits, 64)
		if err != nil || v < 0 || v > 1e6 {
			faults = append(faults, fmt.Errorf("words: numbers has key %q, legal: a number from 0 to 1000000", digits))
			continue
		}
		for _, name := range words.Numbers[digits] {
			l.numbers[l.number(name)] = v
			l.mendable(name)
		}
	}
	for _, right := range sorted(words.Spelling) {
		for _, wrong := range words.Spelling[right] {
			switch right {
			case "mend":
				if l.words[wrong] != 0 {
					l.mendable(wrong)
					l.soundable(wrong)
				}
			case "guard":
				l.guarded[wrong] = true
			default:
				if id, known := l.words[right], l.words[wrong]; id != 0 && known == 0 {
					l.words[wrong] = id
				}
			}
		}
	}
	return faults
}

// sorted gives the keys of a table in order, so that the result never depends on map order.
func sorted(table data.Section) []string {
	keys := make([]string, 0, len(table))
	for key := range table {
		keys = append(keys, key)
	}
	sort.Strings(keys)
	return keys
}

// askWeight splits a key such as "law 5".
func askWeight(key string) (string, int) {
	name, digits, _ := strings.Cut(key, " ")
	weight, err := strconv.Atoi(digits)
	if err != nil {
		return name, 0
	}
	return name, weight
}
