package question

// Colour temperatures outside these bounds, in kelvin, are not read.
const (
	leastColour = 2000
	mostColour  = 12000
)

// readColour reads the colour temperature that is wished; none when two are compared or one is only asked about.
func (r *reading) readColour() {
	var wished *quantity
	for i := range r.quantities {
		q := &r.quantities[i]
		kelvin := q.value
		if q.unit == "" && r.bareKelvin(q) {
			q.unit = "K"
		}
		if q.unit == "K" && kelvin < 20 && kelvin >= 2 {
			kelvin *= 1000
		}
		if q.unit != "K" || kelvin < leastColour || kelvin > mostColour {
			continue
		}
		if q.ranged || r.otherColour(q) || r.nearBefore(q.from, 2, "was", "were", "had") || r.negated(q.from, 3) || r.leads(slotColour, "other", q.from, 3) {
			continue
		}
		if r.believed(mentionColour, q) < keepFrom[mentionColour] {
			continue
		}
		if wished != nil && wished.value != kelvin {
			before, now := r.wishNear(wished), r.wishNear(q)
			switch {
			case before && !now:
				continue
			case before == now: // both or none: neither is the wish
				return
			}
		}
		q.value = kelvin
		wished = q
	}
	if wished == nil {
		return
	}
	topic := r.near(slotColour, "topic", wished.from, wished.to, 5)
	if topic != nil && r.toks[topic.from].clause != r.toks[wished.from].clause {
		topic = nil
	}
	wish := r.near(slotColour, "wish", wished.from, wished.to, 5)
	if topic != nil && (wish == nil || r.gap(topic, wished) < r.gap(wish, wished)) {
		return
	}
	r.out.CCTK = plain(wished.value)
	r.keep("cct_k", wished.from, wished.to)
	r.sure(mentionColour, r.believed(mentionColour, wished))
}

// wishNear says whether the words before a colour temperature wish for it.
func (r *reading) wishNear(q *quantity) bool {
	return r.nearBefore(q.from, 4, "want", "wanted", "now", "prefer", "rather", "please", "like", "need", "after") && !r.nearBefore(q.from, 6, "had", "tried", "hated", "bought", "old")
}

// bareKelvin says whether a number without a unit is a colour temperature: a round one beside a word for the colour.
func (r *reading) bareKelvin(q *quantity) bool {
	if q.value < 2500 || q.value > 8000 || int(q.value)%100 != 0 || q.ranged || r.isAny(q.to, "or", "vs", "and", "to", "/") || r.isAny(q.from-1, "or", "vs", "and", "to", "/", "than") {
		return false
	}
	if r.otherColour(q) {
		return false
	}
	for k := max(0, q.from-6); k < min(len(r.toks), q.to+4); k++ {
		if r.toks[k].sentence == r.toks[q.from].sentence && r.isAny(k, "white", "whitish", "warm", "warmer", "colour", "color", "tint", "yellow", "yellowish", "temp", "kelvin", "k") {
			return true
		}
	}
	return false
}

// otherColour says whether a second colour temperature is held against this one: "6500K or 5000".
func (r *reading) otherColour(q *quantity) bool {
	for i := range r.quantities {
		o := &r.quantities[i]
		kelvin := o.value
		if o.unit == "K" && kelvin < 20 {
			kelvin *= 1000
		}
		if o.value == q.value || o.unit != "" && o.unit != "K" || kelvin < 2500 || kelvin > 8000 || int(kelvin)%100 != 0 || r.toks[o.from].taken {
			continue
		}
		from, to := min(o.to, q.to), max(o.from, q.from)
		if to-from <= 9 && r.between(from, to, "or", "vs", "versus", "than", "/") && !r.nearBefore(min(o.from, q.from), 4, "rather", "prefer", "want") {
			return true
		}
	}
	return false
}

// stated gives the one value that the phrases of a slot state. A sentence that only raises the topic counts for
// nothing; two values that differ leave the slot empty.
func (r *reading) stated(s slot) *match {
	var best, spare *match
	for i := range r.found[s] {
		m := &r.found[s][i]
		if m.value == "topic" || m.value == "none" || r.topicIn(s, r.toks[m.from].sentence) || r.general(m.from) && (m.value != "warns" || r.bulbAsks(m.from)) || r.unsure(m.from) {
			continue
		}
		if m.value == "no_box" { // "no big box": inside, unless the asker names another place
			if spare == nil {
				spare = m
			}
			continue
		}
		if best != nil && best.value != m.value && !(best.value == "true" && m.value == "warns" || best.value == "warns" && m.value == "true") {
			return nil
		}
		if best == nil {
			best = m
		}
	}
	if best == nil {
		return spare
	}
	return best
}

// bulbAsks says whether the question of token i is what the bulb does: "will LEDs throw an error?"
func (r *reading) bulbAsks(i int) bool {
	for i > 0 && r.toks[i-1].sentence == r.toks[i].sentence {
		i--
	}
	for k := i + 1; k <= i+3; k++ {
		if r.isAny(k, "led", "leds", "it", "they", "these", "those", "bulb", "bulbs") {
			return true
		}
	}
	return false
}

// unsure says whether token i stands under "no idea if", "not sure whether" and the like.
func (r *reading) unsure(i int) bool {
	for k := i - 1; k > 0 && k >= i-6 && r.toks[k].clause == r.toks[i].clause; k-- {
		if r.isAny(k, "if", "whether") {
			return r.nearBefore(k, 2, "clue", "idea", "sure", "know", "tell", "out", "check", "wonder", "wondering", "unsure", "see", "dunno")
		}
	}
	return false
}

// topicIn says whether the slot is only asked about in a sentence.
func (r *reading) topicIn(s slot, sentence int32) bool {
	for i := range r.found[s] {
		if m := &r.found[s][i]; m.value == "topic" && r.toks[m.from].sentence == sentence {
			return true
		}
	}
	return false
}

// readCanbus reads whether the car watches its bulbs, or an error-free bulb is wanted.
func (r *reading) readCanbus() {
	if m := r.stated(slotCanbus); m != nil {
		r.out.Canbus = plain(m.value != "false" && !r.nearBefore(m.from, 2, "never"))
		r.keep("canbus", m.from, m.to)
	}
}

// readDriver reads where the asker wants or allows the driver of the LED.
func (r *reading) readDriver() {
	if m := r.stated(slotDriver); m != nil {
		r.out.Driver = Name(m.value)
		if m.value == "no_box" {
			r.out.Driver = "internal"
		}
		r.keep("driver", m.from, m.to)
	}
}

// readPlug reads the wish for a swap without cutting or drilling.
func (r *reading) readPlug() {
	if m := r.stated(slotPlug); m != nil {
		r.out.PlugAndPlay = plain(m.value == "true")
		r.keep("plug_and_play", m.from, m.to)
	}
}
