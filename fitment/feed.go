package fitment

// reducedVolts is what service manuals show for high beams that serve as
// daytime lights: about 6 V (archived manuals, daytime running sections).
const reducedVolts = 6.0

const howFeed = "With daytime lights on, then low beam with the engine off and running: meter on duty or hertz at the lamp plug, or film the lit lamp at 240 pictures a second; banding means pulses. About 6 V means a reduced feed."

// feed asks whether the bulb stays steady on what the car sends it.
func feed(q *question) result {
	pulsed, least := q.bulb.Supply.Pulsed, q.bulb.Supply.VoltsMin
	bearsReduced := least != nil && *least <= reducedVolts
	switch q.lamp.Feed {
	case FeedSteady:
		return fits("The lamp has a steady supply.").word("", FeedSteady)
	case FeedPulsed:
		switch {
		case pulsed == nil:
			return lacking("The car sends this lamp pulses. Whether the bulb stays steady on them is not recorded.",
				"Feed the bulb with 12 V pulses at 100 to 200 Hz and film it at 240 pictures a second.").word("", FeedPulsed)
		case *pulsed:
			return fits("It stays steady on a pulsed feed.").word("", FeedPulsed)
		}
		return work("The car sends this lamp pulses, and the bulb flickers on them. A load resistor alone does not smooth pulses.",
			"Use a decoder with a storage capacitor stated for this bulb, or have the pulsing of this lamp switched off by a workshop where that is lawful.").
			buying("a decoder").word("", FeedPulsed)
	case FeedReduced:
		switch {
		case bearsReduced:
			return fits("It lights on the reduced daytime feed.").word("", FeedReduced)
		case least == nil:
			return lacking("The car feeds this lamp with about 6 V for daytime running. From what voltage the bulb lights is not recorded.",
				"Raise the voltage slowly from 4 V on a bench supply and note where it lights steadily.").word("", FeedReduced)
		}
		return work("The car feeds this lamp with about 6 V for daytime running. The bulb needs "+said(*least, "V")+": off, flashing, or flickering.",
			"Have daytime running on this lamp switched off by a workshop where that is lawful, or use a decoder stated for a reduced feed.").
			buying("a decoder").word("", FeedReduced)
	}
	if yes(pulsed) && bearsReduced {
		return fits("It stays steady on a pulsed feed and lights on a reduced one.")
	}
	return unmeasured("Some cars pulse a lamp, or feed it with a lower voltage, for daytime running. LED bulbs can flicker or stay dark on that.",
		find("feed of the lamp, daytime lights and low beam", FeedSteady, howFeed)).word("", FeedSteady)
}
