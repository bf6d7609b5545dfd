package question

// environments are the driving environments in the order of the design.
var environments = [...]string{"city", "suburban", "rural", "highway", "mountain", "rain", "fog", "snow", "offroad"}

// readDriving collects the roads and the weather that the asker drives in.
func (r *reading) readDriving() {
	var first [len(environments)]*match
	foreign := r.foreign()
	own := false
	for _, m := range r.found[slotDriving] {
		own = own || m.value != "none" && !foreign[m.from]
	}
	for i := range r.found[slotDriving] {
		m := &r.found[slotDriving][i]
		if m.value == "none" || own && foreign[m.from] || r.negated(m.from, 3) || m.value == "fog" && r.fogLamp(*m) {
			continue
		}
		for k, e := range environments {
			if e == m.value && first[k] == nil {
				first[k] = m
			}
		}
	}
	for i := range r.found[slotPlace] { // "Hanoi traffic"
		if m := &r.found[slotPlace][i]; m.value != "none" && first[0] == nil && r.isAny(m.to, "traffic") {
			first[0] = m
		}
	}
	for i := range r.found[slotPlace] { // montaña
		if m := &r.found[slotPlace][i]; first[4] == nil && r.mountain(*m) {
			first[4] = m
		}
	}
	for k, m := range first {
		if m != nil {
			r.out.Driving = append(r.out.Driving, environments[k])
			r.keepItem("driving", len(r.out.Driving)-1, m.from, m.to)
		}
	}
}

// fogLamp says whether the word fog means the lamp: part of a phrase for it, or beside a size and not beside rain or snow.
func (r *reading) fogLamp(m match) bool {
	if b := r.covers(slotBeam, m.from); b != nil {
		return true
	}
	near := r.covers(slotNearBeam, m.from)
	return near != nil && near.value == "fog" && r.besideSize(*near) && !r.besideWeather(*near)
}

// besideWeather says whether rain or snow is named together with the phrase: "rain and fog", "fog/snow".
func (r *reading) besideWeather(m match) bool {
	joins := func(k int) bool { return r.isAny(k, "and", "or", "&", "/", ",", "+", "heavy") }
	weather := func(k int) bool {
		if k < 0 || k >= len(r.toks) {
			return false
		}
		o := r.covers(slotDriving, k)
		return o != nil && o.value != "fog" && o.value != "none"
	}
	after, before := m.to, m.from-1
	for joins(after) && after < m.to+2 {
		after++
	}
	for joins(before) && before > m.from-3 {
		before--
	}
	return after > m.to && weather(after) || before < m.from-1 && weather(before)
}
