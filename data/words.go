package data

import "slices"

// Section is one table of words: a value of a slot, and the phrases that mean it.
//
// A phrase is a row of words in lower case without accents, apostrophes and hyphens. `(a|b c)` is a choice,
// `[a]` may be left out, `stem~` is any word that starts so, `#` is a number, `...` is up to three
// words of the same sentence. The key `none` holds phrases that look like the slot and are not.
type Section map[string][]string

// Words is how people say things: what the reading of a plain question knows of the language.
// It is plain data; the files of data/known and a user's own file are joined with Merge.
type Words struct {
	Sizes       Section `yaml:"sizes" doc:"canonical bulb size: names and spellings that stand for it anywhere"`
	LooseSizes  Section `yaml:"loose_sizes" doc:"canonical bulb size: numbers that stand for it only beside a word for a bulb or a lamp"`
	SizeUse     Section `yaml:"size_use" doc:"both: sizes of which one bulb serves low and high beam; fog: sizes that are made for fog lamps; fog_too: sizes on the same mount that serve fog beside another beam"`
	Beams       Section `yaml:"beams" doc:"low, high, fog, both: phrases that mean the beam anywhere"`
	NearBeams   Section `yaml:"near_beams" doc:"low, high, fog, both: words that mean the beam only beside a bulb size"`
	Housings    Section `yaml:"housings" doc:"projector, reflector; unknown: the asker does not know"`
	Driving     Section `yaml:"driving" doc:"driving environment of the design: phrases for roads and weather"`
	Climate     Section `yaml:"climate" doc:"hot, mild, cold; weather: words beside which a temperature is one of the air"`
	CurrencyOf  Section `yaml:"currency_of" doc:"currency codes: countries where kr, pesos, crowns and the like mean it"`
	ClimateOf   Section `yaml:"climate_of" doc:"hot, cold: place codes whose climate is plain from the name"`
	Places      Section `yaml:"places" doc:"ISO 3166 code (or EU): names of the place, and of national schemes"`
	Towns       Section `yaml:"towns" doc:"town: names of places that are towns; cars are named after towns, seldom after a state or country"`
	ShortPlaces Section `yaml:"short_places" doc:"ISO 3166 code: short names that need a word such as 'in' or 'northern' before them"`
	Demonyms    Section `yaml:"demonyms" doc:"ISO 3166 code: adjectives of the place, which count before a word for its roads, law or weather"`
	PlaceLeads  Section `yaml:"place_leads" doc:"lead: words before a short name; direction: words before any short name; nation: words after an adjective"`
	Currencies  Section `yaml:"currencies" doc:"ISO 4217 code: words and signs; unsaid: words for money without a currency"`
	MoneyWords  Section `yaml:"money_words" doc:"slang for an amount, written 'amount code': tenner is '10 GBP'"`
	Per         Section `yaml:"per" doc:"each, pair, all: what a price is for; together: said of the whole without a count"`
	Budget      Section `yaml:"budget" doc:"limit: words that make an amount the asker's limit; price: words that make it another's price"`
	Numbers     Section `yaml:"numbers" doc:"a number in digits: the words for it"`
	Units       Section `yaml:"units" doc:"unit as in data/quantity: spellings"`
	Room        Section `yaml:"room" doc:"behind: words for the room behind a lamp; other: words that make a length something else"`
	Canbus      Section `yaml:"canbus" doc:"true, false; warns: the car warns of it; topic: asked about, not stated"`
	Driver      Section `yaml:"driver" doc:"internal, inline, external, any; topic: asked about, not wished"`
	PlugAndPlay Section `yaml:"plug_and_play" doc:"true, false; topic: asked about, not wished"`
	Trip        Section `yaml:"trip" doc:"drive, each_way, both_ways, next_stage, other: words beside a time"`
	Colour      Section `yaml:"colour" doc:"wish, topic, other: words beside a colour temperature"`
	Asks        Section `yaml:"asks" doc:"pick, fit, compare, law, flicker, aim, pattern, size, other, each followed by a space and a weight 1 to 20"`
	Topics      Section `yaml:"topics" doc:"headlamp: surely a headlamp question; light: likely one; off: something else"`
	Negation    Section `yaml:"negation" doc:"not: words that turn what follows round; but: words that end it; rare: words that make a habit rare"`
	Spelling    Section `yaml:"spelling" doc:"right word: wrong spellings; mend: words mended at one wrong letter; guard: words never mended"`
}

// sections lists the tables of w in a fixed order.
func (w *Words) sections() []*Section {
	return []*Section{
		&w.Sizes, &w.LooseSizes, &w.SizeUse, &w.Beams, &w.NearBeams, &w.Housings, &w.Driving, &w.Climate, &w.ClimateOf, &w.CurrencyOf,
		&w.Places, &w.Towns, &w.ShortPlaces, &w.Demonyms, &w.PlaceLeads, &w.Currencies, &w.MoneyWords, &w.Per, &w.Budget, &w.Numbers, &w.Units, &w.Room,
		&w.Canbus, &w.Driver, &w.PlugAndPlay, &w.Trip, &w.Colour, &w.Asks, &w.Topics, &w.Negation, &w.Spelling,
	}
}

// Merge gives the words of w and more together; neither is changed. A phrase that both have stands once.
func (w Words) Merge(more Words) Words {
	var out Words
	into, first, second := out.sections(), w.sections(), more.sections()
	for i, table := range into {
		*table = Section{}
		for _, from := range []*Section{first[i], second[i]} {
			for value, phrases := range *from {
				for _, phrase := range phrases {
					if !slices.Contains((*table)[value], phrase) {
						(*table)[value] = append((*table)[value], phrase)
					}
				}
			}
		}
	}
	return out
}
