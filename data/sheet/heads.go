package sheet

import (
	"slices"
	"strconv"
	"strings"
	"unicode"

	"stillbright/data"
	"stillbright/data/quantity"
)

// headTime is a time lit in a head: "@ 30", "30min", "t=30s".
var headTime = data.LateRegexp(`(?i)(@|\bat|\bt\s*=|^|[\s(_-])\s*(\d+(?:[.,]\d+)?)\s*(minutes|minute|mins|min|seconds|secs|sec|hours|hour|hrs|hr|m|s|h|')?(?:$|[\s)\],;:_/-])`)

// word groups of heads; a word of five letters or more may have one slip.
var (
	saysLux      = []string{"lux", "lx", "klx", "klux", "illuminance", "fc", "footcandle", "footcandles", "beleuchtung", "beleuchtungsstärke", "éclairement", "brightness", "hotspot"}
	saysStock    = []string{"stock", "halogen", "hal", "oem", "baseline", "serie", "original", "factory"}
	saysCold     = []string{"initial", "cold", "start", "startup", "begin", "beginning", "first", "instant", "début", "debut", "kalt", "froid", "on", "fresh"}
	saysHot      = []string{"hot", "end", "final", "warm", "settled", "stable", "soaked", "last", "heiss", "heiß", "warmed", "stabilised", "stabilized"}
	saysTemp     = []string{"temp", "temperature", "temps", "heat", "thermal", "temperatur"}
	saysBody     = []string{"body", "heatsink", "sink", "hottest", "gehäuse"}
	saysAmbient  = []string{"ambient", "room", "air", "shop", "garage", "bench", "umgebung"}
	saysColour   = []string{"colour", "color", "cct", "kelvin", "farbe", "farbtemperatur"}
	saysVolt     = []string{"volt", "volts", "voltage", "v", "spannung", "vdc", "psu", "supply"}
	saysWatt     = []string{"watt", "watts", "w", "wattage", "power", "leistung"}
	saysClaim    = []string{"claimed", "claim", "claims", "advertised", "rated", "rating", "box", "spec", "pack", "listed"}
	saysLumen    = []string{"lumen", "lumens", "lm"}
	saysPrice    = []string{"price", "cost", "paid", "preis", "prix", "msrp"}
	saysDate     = []string{"date", "tested", "day", "datum", "fecha", "when"}
	saysBought   = []string{"bought", "purchased", "ordered", "received", "gekauft"}
	saysNote     = []string{"note", "notes", "comment", "comments", "remark", "remarks", "bemerkung", "bemerkungen", "verdict", "thoughts", "misc"}
	saysBulb     = []string{"bulb", "bulbs", "name", "product", "item", "lampe", "leuchtmittel", "brand", "model", "birne"}
	saysSize     = []string{"size", "base", "socket", "fitment", "sockel", "format", "fits"}
	saysDerived  = []string{"vs", "versus", "retained", "retention", "ratio", "drop", "loss", "gain", "delta", "diff", "difference", "change", "rank", "score", "derived", "percent", "pct", "avg", "average", "decline", "fade"}
	saysRig      = []string{"rig", "fixture", "headlight", "headlamp", "scheinwerfer", "lamp"}
	saysMinutes  = []string{"minutes", "minute", "min", "mins", "duration", "soak", "runtime", "elapsed"}
	saysAfter    = []string{"after", "last", "end", "post", "nach"}
	saysProduct  = []string{"bulb", "name", "product", "item", "model", "lampe", "modell"}
	saysMaker    = []string{"brand", "maker", "make", "manufacturer", "hersteller", "marke", "marque"}
	saysHousings = []string{"housing", "optic", "optics", "type"}
)

// has looks for one of the wanted words.
func has(words, wanted []string) bool {
	return slices.ContainsFunc(words, func(word string) bool {
		return slices.ContainsFunc(wanted, func(want string) bool { return word == want || len(want) >= 5 && data.OneSlip(word, want) })
	})
}

func headWords(head string) []string {
	return strings.FieldsFunc(strings.ToLower(head), func(r rune) bool {
		return !unicode.IsLetter(r) && !unicode.IsDigit(r)
	})
}

func oneOf(words []string, table map[string]string) string {
	for _, word := range words {
		if len(word) < 3 && word != "lo" && word != "hi" {
			continue // single letters and abbreviations of two are units as often
		}
		if legal := table[word]; legal != "" {
			return legal
		}
		for _, want := range []string{data.Projector, data.Reflector} {
			if table[want] == want && data.OneSlip(word, want) {
				return want
			}
		}
	}
	return ""
}

// oneOfExactly looks up words as they are.
func oneOfExactly(words []string, table map[string]string) string {
	for _, word := range words {
		if legal := table[word]; legal != "" && len(word) > 1 {
			return legal
		}
	}
	return ""
}

// isBareTime says whether a head is a time lit and nothing else: 30 min.
func isBareTime(words []string) bool {
	return len(words) > 0 && !slices.ContainsFunc(words, func(word string) bool {
		digits, unit := splitNumber(word)
		if digits == "" {
			return word != "t" && word != "at" && timeUnits[word] == ""
		}
		return unit != "" && timeUnits[unit] == ""
	})
}

// propose reads one head. A head that is not understood becomes a note, so that
// nothing written is lost.
func propose(head string) Column {
	c := Column{Head: head, Means: meansNote}
	if strings.TrimSpace(head) == "" {
		return c
	}
	if key, unit, ok := ownHead(head); ok {
		c.Means, c.Unit = key, unit
		return c
	}
	head, scaled := withoutScale(head)
	words := headWords(head)
	c.Housing, c.Beam = oneOf(words, housingWords), oneOf(words, beamWords)
	at := timeIn(head)
	if c.Means = meansOf(head, words, c, at); scaled != "" {
		c.Means = meansOfScore(words, scaled)
	}
	switch m, isField := meaningOf(c.Means); {
	case c.Means == meansLux:
		c.At = at
		if at == nil && has(words, saysCold) {
			c.At = new(float64)
		}
		c.Unit = unitIn(head, "lx")
	case c.Means == meansPrice:
		c.Unit = currencyIn(head)
		c.Per = oneOfExactly(words, perWords)
	case c.Means == "body" && (has(words, saysCold) || at != nil && *at == 0):
		c.Means = meansNote // the body is wanted hot
	case c.Means == meansHotAt:
		c.Unit = unitIn(head, "min")
	case isField && m.unit != "":
		c.Unit = unitIn(head, m.unit)
	}
	if m, isField := meaningOf(c.Means); c.Means != meansLux && markOf(c.Means) == nil && (!isField || !m.ofTest) {
		c.Housing, c.Beam = "", ""
	}
	if c.Means == "rig" || c.Means == "beam" || c.Means == "date" {
		c.Housing, c.Beam = "", ""
	}
	return c
}

// meansOf decides by the words of a head; the order is that of sureness.
func meansOf(head string, w []string, c Column, at *float64) string {
	light := has(w, saysLux)
	switch {
	case has(w, saysNote):
		return meansNote
	case has(w, saysDerived) || strings.Contains(head, "%") && !has(w, []string{"spread"}):
		return meansDerived
	case has(w, []string{"currency"}):
		return meansCurrency
	case has(w, saysPrice) || len(w) <= 1 && currencyIn(head) != "":
		return meansPrice
	case has(w, saysColour) && has(w, saysClaim):
		return "claimed_cct"
	case has(w, saysColour):
		return "cct"
	case has(w, saysLumen):
		return "claimed_lumens"
	case has(w, saysWatt) && has(w, saysClaim):
		return "claimed_watts"
	case has(w, saysTemp) && has(w, saysAmbient), has(w, []string{"ambient", "amb"}):
		return "ambient"
	case (has(w, saysTemp) || has(w, saysBody) || has(w, []string{"case"}) && unitIn(head, "C") != "") && !light:
		return "body"
	case has(w, saysStock) && has(w, saysVolt):
		return "stock_volts"
	case has(w, saysStock) && has(w, saysAfter):
		return "stock_last"
	case has(w, saysStock) && !has(w, saysWatt):
		return "stock_first"
	case light:
		return meansLux
	case has(w, saysVolt):
		return "volts"
	case has(w, saysWatt):
		return "watts"
	case has(w, saysBought):
		return "bought"
	case has(w, saysDate):
		return "date"
	case has(w, []string{"lot", "batch", "charge"}):
		return "lot"
	case has(w, []string{"fold", "foldback", "throttle", "throttled", "throttling"}):
		return "fold_back"
	case has(w, []string{"cap", "dustcap"}):
		return "cap"
	case has(w, saysSize):
		return "size"
	case (c.Housing != "" || c.Beam != "") && (at != nil || has(w, saysCold) || has(w, saysHot)):
		return meansLux
	case at != nil && isBareTime(w):
		return meansLux
	case len(w) == 1 && (slices.Contains(saysCold[:6], w[0]) || slices.Contains(saysHot[:4], w[0])):
		return meansLux
	case has(w, []string{"beam"}):
		return "beam"
	case has(w, saysMinutes) && at == nil:
		return meansHotAt
	case has(w, saysHousings):
		if has(w, []string{"bulb"}) {
			return "kind"
		}
		return meansHousing
	case has(w, []string{"kind"}):
		return "kind"
	case has(w, []string{"id"}):
		return "id"
	case has(w, []string{"source"}):
		return "source"
	case len(w) <= 2 && slices.Contains(w, "driver"):
		return "driver"
	case slices.Contains(w, "spread"):
		return "seating_spread"
	case has(w, []string{"seatings", "reseated"}):
		return "seatings"
	case has(w, []string{"samples"}):
		return "samples"
	case len(w) == 1 && w[0] == "lamp":
		return "rig" // in English; the German Lampe is a bulb
	case slices.Contains(w, "time") && len(w) == 1:
		return meansTime
	case has(w, saysMaker) && !has(w, saysProduct):
		return meansMaker
	case has(w, saysBulb):
		return "name"
	case has(w, saysRig):
		return "rig"
	}
	return meansNote
}

// ownHead knows the heads that export writes.
func ownHead(head string) (key, unit string, ok bool) {
	name, rest, has := strings.Cut(strings.ToLower(strings.TrimSpace(head)), " [")
	if has {
		unit = strings.TrimSuffix(rest, "]")
	}
	if key := specialHeads[name]; key != "" {
		return key, "", true
	}
	for _, m := range meanings() {
		if m.head == name && strings.EqualFold(m.unit, unit) {
			return m.key, m.unit, true
		}
	}
	return "", "", false
}

// timeIn reads the time lit from a head, in minutes; nil without one.
func timeIn(head string) *float64 {
	for _, m := range headTime().FindAllStringSubmatch(head, -1) {
		marked := strings.TrimSpace(m[1]) != ""
		if m[3] == "" && !marked {
			continue
		}
		value, err := strconv.ParseFloat(strings.Replace(m[2], ",", ".", 1), 64)
		if err != nil {
			continue
		}
		unit := timeUnits[strings.ToLower(m[3])]
		if unit == "" {
			unit = "min" // bare, m or '
		}
		if value *= minutesOf[unit]; value <= 1440 {
			return &value
		}
	}
	return nil
}

// unitIn finds a unit of the wanted kind among the words of a head; empty when
// there is none.
func unitIn(head, want string) string {
	fields := strings.FieldsFunc(head, func(r rune) bool { return unicode.IsSpace(r) || strings.ContainsRune("()[]{},;:=@_", r) })
	for _, field := range slices.Backward(fields) {
		if field[0] >= '0' && field[0] <= '9' || field == "'" || field == `"` {
			continue
		}
		if _, err := quantity.ParseBare("600 "+field, want); err == nil {
			return field
		}
	}
	return ""
}

// currencyIn finds a currency sign or code in a head.
func currencyIn(head string) string {
	for _, field := range strings.FieldsFunc(head, func(r rune) bool { return unicode.IsSpace(r) || strings.ContainsRune("()[]{}/,;:_", r) }) {
		if strings.ContainsAny(field, "$£€₹₩") || len(field) == 3 && field == strings.ToUpper(field) {
			if m, err := quantity.ParseMoney("1" + field); err == nil {
				return m.Currency
			}
			if m, err := quantity.ParseMoney(field + "1"); err == nil {
				return m.Currency
			}
		}
	}
	return ""
}
