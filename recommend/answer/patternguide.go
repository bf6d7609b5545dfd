package answer

import "stillbright/recommend/beam"

// patternMarks is what each mark by eye means, from 3 down to 0.
var patternMarks = []struct {
	name, look string
	marks      [4]string // of mark 3, 2, 1, 0
}{
	{"cutoff", "the edge between light and dark, on the side of oncoming traffic",
		[4]string{"one clean line as sharp as stock", "a little softer", "a broad band", "no line"}},
	{"hot_spot", "the brightest place",
		[4]string{"tight under the cutoff where stock's is", "up to 1 degree off", "up to 3 degrees off", "split or far off"}},
	{"stray", "the wall above the cutoff",
		[4]string{"as dark as stock", "a faint veil", "clearly lighter", "it dazzles"}},
	{"dark", "the lit area",
		[4]string{"even", "faint spots", "one clear hole", "holes or stripes in the road area"}},
	{"width", "both ends of the beam",
		[4]string{"as wide as stock", "a little less", "clearly less", "a narrow spot"}},
}

// PatternGuide says how to give marks by eye.
func PatternGuide() Document {
	p := new(page)
	p.say("Marks by eye, 0 to 3, beside the stock beam in the same lamp. Wall 10 m away and dark, tape on the stock cutoff, lamp not aimed anew, bulb warm. At 10 m one degree is 17 cm.")
	for _, part := range patternMarks {
		p.say(part.name + ": " + part.look)
		for i, text := range part.marks {
			p.entry(Item{Mark: string(rune('3'-i)) + " ", Text: plainText(text)})
		}
	}
	p.say("A mark you are not sure of may be left out; it then counts at its worst and widens the band. Marks make a wide band: a grid or photos tell more.")
	p.say("stillbright pattern --" + beam.MethodGrade + " cutoff=2,hot_spot=3,stray=2,dark=3,width=2")
	p.say("Do not look into the lamp; look at the wall.")
	return p.doc
}
