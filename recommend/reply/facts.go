package reply

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"stillbright/data"
	"stillbright/data/quantity"
	"stillbright/recommend/question"
	"stillbright/recommend/road"
	"stillbright/recommend/sheets"
)

// mostFacts is how many statements a reply carries beside the record: more would
// bury the answer.
const mostFacts = 3

// facts are what is said beside the tester's record: what can be computed from
// the sizes, the rules of aim and the ladder of claims, then the prepared texts
// that suit the question best.
func (r *Replier) facts(reply *Reply, words said) []ReplyFact {
	facts := append([]ReplyFact{}, slices.Concat(r.sizeFacts(reply, words), r.aimFacts(reply, words), r.claimFacts(reply, words), r.depthFacts(reply, words))...)
	computed := len(facts) > 0
	for _, text := range r.chosenTexts(reply, words) {
		if len(facts) >= mostFacts {
			break
		}
		if text.ID == "aim-vol" && slices.ContainsFunc(facts, isAimRule) {
			continue
		}
		if computed && len(text.Words) == 0 && reply.Asks[0] != "aim" {
			continue // what was computed for this question says more than the general text
		}
		facts = append(facts, ReplyFact{text.ID, text.Text, text.Short, text.Source, text.Confidence})
	}
	return facts
}

// chosenTexts are the prepared texts for a question, best first: those whose words
// stand in it, then the general text of the leading ask.
func (r *Replier) chosenTexts(reply *Reply, words said) []data.ReplyText {
	type scored struct {
		text  prepared
		score int
	}
	var all []scored
	special := false
	for _, text := range r.texts {
		at := slices.IndexFunc(reply.Asks, func(ask string) bool { return slices.Contains(text.Asks, ask) })
		if at > 0 && reply.Asks[0] == "pick" {
			continue // who asks for a bulb is told what bears on the choice
		}
		if at < 0 || !suits(text.ReplyText, reply.Understood.Lamps) {
			continue
		}
		count := words.count(text)
		if len(text.Words) > 0 && count == 0 {
			continue
		}
		score := min(count, 3)
		if at == 0 {
			score += 4
		}
		if len(text.Words) > 0 {
			score += 4
			special = special || at == 0
		} else if at > 0 {
			continue // the general text of something asked by the way
		}
		all = append(all, scored{text, score})
	}
	slices.SortStableFunc(all, func(a, b scored) int { return -cmp.Compare(a.score, b.score) })
	var chosen []data.ReplyText
	general := 0
	for _, s := range all {
		if len(s.text.Words) == 0 {
			// One general text is enough, and where there is a special one it helps
			// only those who have to do something themselves.
			lead := reply.Asks[0]
			if general++; general > 1 || special && (len(chosen) > 1 || lead == "fit" || lead == "size") {
				continue
			}
		}
		chosen = append(chosen, s.text.ReplyText)
	}
	return chosen
}

// suits says whether a text's beams and housing were named.
func suits(text data.ReplyText, lamps []question.Lamp) bool {
	if len(text.Beams) > 0 && !slices.ContainsFunc(lamps, func(l question.Lamp) bool { return slices.Contains(text.Beams, string(l.Beam)) }) {
		return false
	}
	return text.Housing == "" || slices.ContainsFunc(lamps, func(l question.Lamp) bool { return string(l.Housing) == text.Housing })
}

// sizeFacts says of each size that is asked about what else it is called, and of
// each two of them whether they may be swapped.
func (r *Replier) sizeFacts(reply *Reply, words said) []ReplyFact {
	if !slices.Contains(reply.Asks, "size") && !twoForOne(reply) {
		return nil
	}
	var sizes []data.Size
	for _, lamp := range reply.Understood.Lamps {
		if size, ok := data.SizeOf(r.know.Sizes, string(lamp.Size)); ok && !slices.ContainsFunc(sizes, func(s data.Size) bool { return s.Category == size.Category }) {
			sizes = append(sizes, size)
		}
	}
	var facts []ReplyFact
	for i, a := range sizes {
		for _, b := range sizes[i+1:] {
			if len(facts) < mostFacts-1 {
				facts = append(facts, notTheSame(a, b))
			}
		}
	}
	if len(sizes) > 1 {
		return facts
	}
	for _, size := range sizes {
		facts = append(facts, r.sizeFact(size, words))
	}
	return facts
}

// twoForOne says whether somebody asks if one size goes in place of another: a
// question of fit about several sizes, with no beam to tell the lamps apart.
func twoForOne(reply *Reply) bool {
	return reply.Asks[0] == "fit" && len(reply.Understood.Lamps) > 1 &&
		!slices.ContainsFunc(reply.Understood.Lamps, func(l question.Lamp) bool { return l.Beam != "" })
}

// sizeFact says what one size is called and does.
func (r *Replier) sizeFact(size data.Size, words said) ReplyFact {
	text := size.Category
	if len(size.Aliases) > 0 {
		text += " is also called " + strings.Join(size.Aliases, ", ")
	} else {
		text += " has no other name on file"
	}
	if size.Discharge {
		text += ". It is a discharge lamp with high voltage, not a halogen: no LED for a halogen lamp belongs there"
	} else if size.Dual {
		text += "; it does low and high beam in one bulb"
	} else if len(size.Beams) > 0 {
		text += "; it serves " + wordList(size.Beams) + " beam"
	}
	text += "."
	for _, variant := range size.Variants {
		if words.find([]string{strings.ToLower(variant.Name)}) >= 0 {
			text += fmt.Sprintf(" %s: %s.", variant.Name, variant.Why)
		}
	}
	return ReplyFact{"size-" + strings.ToLower(size.Category), text, text, size.Source, size.Confidence}
}

// notTheSame says that two sizes are two, and why they may not be swapped. It
// speaks of both directions where both are on file, the order of the question
// first: which of the two is the bulb and which the lamp is often left open,
// and the wrong half would name the wrong danger.
func notTheSame(a, b data.Size) ReplyFact {
	id := "swap-" + strings.ToLower(a.Category+"-"+b.Category)
	inLampOf, ab := whyNot(b, a)
	ofLampIn, ba := whyNot(a, b)
	in := func(bulb, lamp data.Size, why string) string {
		return fmt.Sprintf("%s in a lamp for %s: %s", bulb.Category, lamp.Category, why)
	}
	switch {
	case ab && ba:
		text := fmt.Sprintf("%s and %s do not swap. %s. %s.", a.Category, b.Category, in(a, b, inLampOf), in(b, a, ofLampIn))
		short := fmt.Sprintf("%s and %s do not swap. %s.", a.Category, b.Category, in(a, b, inLampOf))
		return ReplyFact{id, text, short, b.Source, b.Confidence}
	case ab:
		text := in(a, b, "no, "+inLampOf) + "."
		return ReplyFact{id, text, text, b.Source, b.Confidence}
	case ba:
		text := in(b, a, "no, "+ofLampIn) + "."
		return ReplyFact{id, text, text, a.Source, a.Confidence}
	}
	text := fmt.Sprintf("%s and %s are two sizes, and nothing on file says that they may be swapped.", a.Category, b.Category)
	return ReplyFact{id, text, text, a.Source, a.Confidence}
}

// whyNot is what the record of a lamp's size says against another bulb in it.
func whyNot(lamp, bulb data.Size) (string, bool) {
	for _, similar := range lamp.SimilarNotSame {
		if similar.Size == bulb.Category {
			return similar.Why, true
		}
	}
	return "", false
}

// aimFacts says where the cutoff belongs, when the place or the marking on the
// lens is named.
func (r *Replier) aimFacts(reply *Reply, words said) []ReplyFact {
	if !slices.Contains(reply.Asks, "aim") {
		return nil
	}
	in := sheets.AimRequest{DistanceMM: 10000, Where: r.whereOf(reply)}
	for _, mark := range []string{road.MarkingVOL, road.MarkingVOR} {
		if slices.Contains(words, strings.ToLower(mark)) {
			in.Marking = mark
		}
	}
	imperial := sheets.FootPlace(in.Where) || in.Marking != ""
	if imperial {
		in.DistanceMM = 7620
	}
	if len(reply.Understood.Lamps) > 0 && (reply.Understood.Lamps[0].Beam == data.BeamHigh || reply.Understood.Lamps[0].Beam == data.BeamFog) {
		in.Beam = string(reply.Understood.Lamps[0].Beam)
	}
	if in.Where == "" && in.Marking == "" {
		return nil
	}
	sheet, err := sheets.AimFor(r.know, in)
	if err != nil || sheet.From == "none" {
		return nil
	}
	text := aimText(&sheet, imperial)
	if text == "" {
		return nil
	}
	return []ReplyFact{{aimRule, text, text, string(sheet.Source), string(sheet.Confidence)}}
}

// aimRule is the fact that says where this very cutoff belongs.
const aimRule = "aim-rule"

func isAimRule(fact ReplyFact) bool { return fact.ID == aimRule }

// aimText is the figure of an aim sheet in one sentence.
func aimText(s *sheets.AimSheet, imperial bool) string {
	length := func(mm float64) string {
		if imperial {
			return strconv.FormatFloat(mm/25.4, 'f', 1, 64)
		}
		return strconv.FormatFloat(mm/10, 'f', 1, 64)
	}
	unit, wall := "cm", "10 m"
	if imperial {
		unit, wall = "in", "25 ft"
	}
	feature := "cutoff"
	if s.Feature == "hot_spot" {
		feature = "middle of the hot spot"
	}
	rule := s.Rule
	if s.From == "marking" {
		rule = "lens marked " + string(s.Marking)
	}
	switch {
	case s.TargetMM != nil && *s.TargetMM == 0:
		return fmt.Sprintf("The %s belongs level with the lamp centre at %s (%s).", feature, wall, rule)
	case s.TargetMM != nil:
		return fmt.Sprintf("The %s belongs %s %s below the lamp centre at %s (%s).", feature, length(*s.TargetMM), unit, wall, rule)
	case s.DropMM != nil && s.DropMM.Least >= 0:
		return fmt.Sprintf("The %s belongs %s to %s %s below the lamp centre at %s (%s).", feature, length(s.DropMM.Least), length(s.DropMM.Most), unit, wall, rule)
	}
	return ""
}

// claimFacts puts lumens and watts of the question on the ladder of claims.
func (r *Replier) claimFacts(reply *Reply, words said) []ReplyFact {
	lumens, watts := words.amount("lumen~", "lm"), words.amount("watt~", "w")
	if lumens == nil || watts == nil {
		return nil
	}
	for _, finding := range road.Audit(road.ClaimInput{Lumens: lumens, Watts: watts, Ladder: r.know.Claims}) {
		if finding.LmPerW != nil {
			text := fmt.Sprintf("%s lm from %s W is %.0f lm/W. %s", quantity.Number(*lumens), quantity.Number(*watts), *finding.LmPerW, finding.Text)
			return []ReplyFact{{"claim", text, text, finding.Source, finding.Confidence}}
		}
	}
	return nil
}

// amount is the one number that stands with a unit in the question, as one word or
// two; nil when there is none or more than one.
func (s said) amount(word, short string) *float64 {
	var found *float64
	for i, w := range s {
		number := ""
		rest := strings.TrimLeft(w, "0123456789.")
		switch {
		case rest == w:
			continue
		case rest == "" && i+1 < len(s) && (matches(word, s[i+1]) || s[i+1] == short):
			number = w
		case rest == short || matches(word, rest):
			number = strings.TrimSuffix(w, rest)
		default:
			continue
		}
		value, err := strconv.ParseFloat(number, 64)
		if err != nil || found != nil && *found != value {
			return nil
		}
		found = &value
	}
	return found
}

// depthFacts gives the light centre of the size to someone who measures where the
// emitters sit.
func (r *Replier) depthFacts(reply *Reply, words said) []ReplyFact {
	if !slices.Contains(reply.Asks, "pattern") && !slices.Contains(reply.Asks, "fit") {
		return nil
	}
	if !words.hasAny(r.topics.depth) {
		return nil
	}
	for _, lamp := range reply.Understood.Lamps {
		size, ok := data.SizeOf(r.know.Sizes, string(lamp.Size))
		if !ok || size.LightCentreMM == nil || size.Discharge {
			continue
		}
		how := "from memory"
		if slices.Contains(size.ReadFields, "light_centre") {
			how = "read"
		}
		text := fmt.Sprintf("The light centre of %s is %s mm from the reference face of the flange (%s).", size.Category, quantity.Number(*size.LightCentreMM), how)
		return []ReplyFact{{"light-centre-" + strings.ToLower(size.Category), text, text, size.Source, size.Confidence}}
	}
	return nil
}

// wordList joins words with commas and a last "and".
func wordList(words []string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:len(words)-1], ", ") + " and " + words[len(words)-1]
}
