package reply

import (
	"slices"

	"stillbright/data"
	"stillbright/recommend"
)

// lawAsks are the asks under which a law line stands: those about buying, and
// those about the law itself.
var lawAsks = []string{"law", "pick", "fit", "compare"}

// lawOf gives one law line for each beam that is spoken of; without any, the low
// beam's. A bulb for both beams is bound by the low beam first, and asked about the
// law, by both.
func (r *Replier) lawOf(reply *Reply) []ReplyLaw {
	lines := []ReplyLaw{}
	asked := slices.Contains(reply.Asks, "law")
	if !slices.ContainsFunc(reply.Asks, func(ask string) bool { return slices.Contains(lawAsks, ask) }) {
		return lines
	}
	var beams []string
	add := func(beam string) {
		if !slices.Contains(beams, beam) {
			beams = append(beams, beam)
		}
	}
	spoken := func(beam string) {
		add(recommend.LawBeam(beam))
		if asked && beam == data.BeamBoth {
			add(data.BeamHigh)
		}
	}
	for _, lamp := range reply.Lamps {
		if lamp.Pick != nil {
			spoken(lamp.Pick.Need.Beam)
		}
	}
	for _, lamp := range reply.Understood.Lamps {
		if lamp.Beam != "" && len(reply.Lamps) == 0 {
			spoken(string(lamp.Beam))
		}
	}
	if len(beams) == 0 {
		add(data.BeamLow)
	}
	where := r.whereOf(reply)
	for _, beam := range beams {
		line := ReplyLaw{LawLine: r.know.LawFor(where, beam, r.options.Today)}
		if where != "" {
			answer := data.Law(r.know.Law, r.know.Places, nil, string(where), beam)
			line.Name, line.Authority = recommend.Word(answer.Place.Name), recommend.Word(answer.Authority)
		}
		lines = append(lines, line)
	}
	return lines
}

// whereOf is the place of the reply: that of the needs, which hold the flags and
// the car's record, else as understood.
func (r *Replier) whereOf(reply *Reply) recommend.Word {
	for _, lamp := range reply.Lamps {
		if lamp.Need.Where != "" {
			return lamp.Need.Where
		}
	}
	n := recommend.Need{}
	if place, _, ok := data.FindPlace(r.know.Places, string(reply.Understood.Where)); ok {
		n.Where = recommend.Word(place.Code)
	}
	if r.options.Override != nil {
		r.options.Override(&n, true)
	}
	return n.Where
}
