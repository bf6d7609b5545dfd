package question

// Not everything that is named is the asker's: "my mate has H4", "used to have H7", "the old car took HB4", "H4 …
// wait no". What stands in such a scope counts only where nothing else was named.

// foreign marks the tokens that speak of somebody else's car, of another lamp, or of what was before.
func (r *reading) foreign() []bool {
	if r.scopes != nil {
		return r.scopes
	}
	out := make([]bool, len(r.toks))
	in, asFriend := false, r.friend()
	for i := range r.toks {
		t := &r.toks[i]
		switch {
		case t.kind == stop, in && r.isAny(i, "but", "now", "new", "current", "this"):
			in = false
		case r.isAny(i, "mine", "i", "im", "ive", "id", "ill", "we", "our", "ours"), r.is(i, "my") && !r.someone(i+1) && !r.isAny(i+1, "old", "last", "previous", "former", "other"):
			in = false
		case r.is(i, "used") && r.isAny(i+1, "to") && r.isAny(i+2, "have", "be", "run", "drive", "own"),
			r.isAny(i, "previous", "previously", "former"), r.isAny(i, "old", "last", "other") && r.isAny(i+1, "car", "truck", "van", "bike", "ute", "motor") && r.isAny(i+2, "had", "took", "was", "used", "ran", "has", "takes"):
			in = true
		case asFriend:
		case r.someone(i+1) && r.isAny(i+2, "says", "said", "told", "reckons", "thinks", "swears", "wants", "needs", "asks", "asked"):
		case r.is(i, "my") && r.someone(i+1), r.isAny(i, "his", "hers", "theirs"),
			r.isAny(i, "he", "she") && r.isAny(i+1, "has", "had", "got", "runs", "uses", "fitted", "drives", "put", "bought"),
			r.someone(i) && r.isAny(i+1, "has", "had", "drives", "fitted", "runs", "got", "uses", "put", "bought"):
			in = true
		}
		out[i] = in
	}
	own := len(r.sizes) == 0
	for _, s := range r.sizes {
		own = own || !out[s.from]
	}
	if !own { // the other's car is the one that is asked about
		clear(out)
	}
	r.correctedSizes(out)
	r.scopes = out
	return out
}

// friend says whether the asker asks for somebody else, whose car then is the one that counts.
func (r *reading) friend() bool {
	for i := range r.toks {
		if r.isAny(i, "for", "behalf") && r.isAny(i-1, "asking", "ask", "question", "looking", "bulbs", "set", "on", "help", "leds", "lights", "need", "advice") &&
			(r.someone(i+1) || r.someone(i+2) || r.someone(i+3)) {
			return true
		}
		if r.is(i, "for") && (r.isAny(i+1, "both", "him", "her", "them") || i > 0 && r.toks[i-1].taken && r.isAny(i+1, "his", "hers", "theirs")) {
			return true
		}
	}
	return !r.hasAnyToken("i", "my", "mine", "im", "ive", "we", "our")
}

// hasAnyToken says whether one of the texts stands anywhere.
func (r *reading) hasAnyToken(texts ...string) bool {
	for i := range r.toks {
		if r.isAny(i, texts...) {
			return true
		}
	}
	return false
}

// someone says whether token i is a person who is not the asker.
func (r *reading) someone(i int) bool {
	if i < 0 || i >= len(r.toks) || len(r.toks[i].text) < 2 {
		return false
	}
	text := r.toks[i].text
	if text[len(text)-1] == 's' && person(text[:len(text)-1]) { // my mate's
		return true
	}
	return person(text)
}

// person says whether a word names somebody by what they are to the asker.
func person(text string) bool {
	switch text {
	case "mate", "friend", "buddy", "pal", "brother", "sister", "wife", "husband", "dad", "mum", "mom", "father", "mother", "son",
		"daughter", "neighbour", "neighbor", "boss", "cousin", "uncle", "aunt", "colleague", "coworker", "gf", "bf", "girlfriend", "boyfriend", "missus",
		"partner", "gran", "grandma", "nan", "grandad", "grandpa", "bro", "sis", "nephew", "niece", "roommate", "landlord", "homie", "lad", "fella", "bloke", "guy", "kid", "girl", "inlaw", "flatmate", "stepdad", "teammate":
		return true
	}
	return false
}

// correctionReach is how many tokens a thing that is put right may stand before the words that do so.
const correctionReach = 8

// correctedSizes marks a size that the asker takes back: "H4 … wait no those went", "H7, scratch that, H11"; where
// what follows names the same sizes anew, all that was said of them before.
func (r *reading) correctedSizes(out []bool) {
	for i := range r.toks {
		if !r.takesBack(i) {
			continue
		}
		again := 0
		for _, s := range r.sizes {
			for _, o := range r.sizes {
				if o.from > i && s.to <= i && s.size == o.size {
					again++
					for k := s.from; k < s.to; k++ {
						out[k] = true
					}
					break
				}
			}
		}
		if again > 0 {
			continue
		}
		for k := i - 1; k >= 0 && k >= i-correctionReach; k-- {
			if r.toks[k].taken {
				for ; k >= 0 && r.toks[k].taken; k-- {
					out[k] = true
				}
				break
			}
		}
	}
}

// takesBack says whether words stand at token i that take back what was said before.
func (r *reading) takesBack(i int) bool {
	return r.is(i, "wait") && (r.is(i+1, "no") || r.kindAt(i+1) == comma) || r.is(i, "scratch") && r.is(i+1, "that") ||
		r.is(i, "no") && r.isAny(i+1, "sorry", "wait") || r.is(i, "i") && r.is(i+1, "mean") && i+2 < len(r.toks) && r.toks[i+2].taken ||
		r.is(i, "correction") || r.is(i, "other") && r.is(i+1, "way") && r.isAny(i+2, "round", "around", "about") || r.is(i, "vice") && r.is(i+1, "versa")
}

// kindAt is the kind of token i, stop beyond the end.
func (r *reading) kindAt(i int) kind {
	if i < 0 || i >= len(r.toks) {
		return stop
	}
	return r.toks[i].kind
}

// elsewhere says whether a size is said of a lamp that is no headlamp: "rear tail light H11".
func (r *reading) elsewhere(s sized) bool {
	for _, m := range r.found[slotTopic] {
		if m.value == "off" && r.toks[m.from].sentence == r.toks[s.from].sentence && r.lightWord(m) &&
			(m.to <= s.from && s.from-m.to <= 1 || m.from >= s.to && m.from-s.to <= 1) {
			return true
		}
	}
	return false
}

// lightWord says whether a phrase of another thing names a light, and not a part of the car.
func (r *reading) lightWord(m match) bool {
	for k := m.from; k < m.to; k++ {
		if r.isAny(k, "light", "lights", "lamp", "lamps", "taillight", "taillights", "bulb", "bulbs", "led", "leds", "sidelight", "sidelights", "indicator", "indicators",
			"signal", "signals", "taillamp", "worklight", "spotlight") {
			return true
		}
	}
	return false
}

// ownSizes are the sizes of the asker's own headlamps; all of them where none is.
func (r *reading) ownSizes(all []sized) []sized {
	foreign := r.foreign()
	var out []sized
	for _, s := range all {
		if !foreign[s.from] && !r.elsewhere(s) {
			out = append(out, s)
		}
	}
	if len(out) == 0 {
		for _, s := range all {
			if !r.elsewhere(s) {
				out = append(out, s)
			}
		}
	}
	return out
}
