package question

// Bounds of what is taken for a budget: below a coin, above no bulb.
const (
	leastBudget = 3
	mostBudget  = 100000
	leastBare   = 5
	mostBare    = 1000
)

// readBudget reads the upper limit that the asker names. A price that only contrasts two products, was paid, or is a
// fine is none.
func (r *reading) readBudget() {
	var limits, neutral, prices []*quantity
	for i := range r.quantities {
		q := &r.quantities[i]
		switch r.amountRole(q) {
		case "limit":
			limits = append(limits, q)
		case "neutral":
			neutral = append(neutral, q)
		case "price":
			prices = append(prices, q)
		}
	}
	var best *quantity
	switch {
	case len(limits) > 0:
		best = limits[0]
		for _, q := range limits[1:] {
			a, b := r.perOf(q), r.perOf(best)
			if q.value > best.value && (a == b || a == "" || b == "") {
				best = q
			}
		}
	case len(neutral) == 1:
		best = neutral[0]
		for _, q := range prices { // "£90 bulbs in a £900 car"
			if r.toks[q.from].sentence == r.toks[best.from].sentence {
				best = nil
				break
			}
		}
	}
	if best = r.likeliest(mentionBudget, best, r.canPay); best == nil {
		return
	}
	best = r.corrected(best)
	b := &Budget{Amount: best.value, Currency: Name(best.currency), Per: Name(r.perOf(best))}
	if b.Currency == "" {
		b.Currency = r.onlyCurrency(best)
	}
	r.out.Budget, r.vague = b, b.Currency == "" && best.unit == "money"
	r.keep("budget", best.from, best.to)
}

// canPay says whether a quantity can be the most that somebody pays.
func (r *reading) canPay(q *quantity) bool {
	if r.amountRole(q) == "price" {
		return false
	}
	return q.unit == "money" && q.value >= leastBudget && q.value <= mostBudget ||
		q.unit == "" && q.value >= leastBare && q.value <= mostBare && r.toks[q.from].joint != glued
}

// placeCurrency completes kr, pesos and the like by the country that the question names.
func (r *reading) placeCurrency() {
	if r.vague && len(r.out.Where) >= 2 {
		r.out.Budget.Currency = Name(r.words.currency[string(r.out.Where[:2])])
	}
}

// onlyCurrency is the one currency named with other amounts, or by its word in the same sentence: "spent 25 quid
// before, now up to 70"; "up to 25 each in GBP".
func (r *reading) onlyCurrency(q *quantity) Name {
	only := ""
	for i := range r.quantities {
		if c := r.quantities[i].currency; c != "" {
			if only != "" && only != c {
				return ""
			}
			only = c
		}
	}
	for _, m := range r.found[slotCurrency] {
		if m.value == "unsaid" || len(r.joined(m.from, m.to)) < 3 || r.toks[m.from].sentence != r.toks[q.from].sentence && !r.wholeClause(m.from, m.to) {
			continue
		}
		if only != "" && only != m.value {
			return ""
		}
		only = m.value
	}
	return Name(only)
}

// amountRole says what a quantity is in the question: limit, neutral, price (of something else), or "" for no money.
func (r *reading) amountRole(q *quantity) string {
	if q.value < leastBudget || q.value > mostBudget || q.unit != "money" && q.unit != "" {
		return ""
	}
	limit := r.limitNear(q)
	if q.unit == "" {
		if r.toks[q.from].joint == glued || r.bareSpeed(q) != "" || r.is(q.to, "limit") && len(r.out.Driving) > 0 { // M62; "50 limit" of a road
			return ""
		}
		if per := r.at(slotPer, q.to); !limit && q.value >= leastBare && per != nil && per.value != "none" && !r.toks[q.from].taken {
			return "neutral" // "40 a pair"
		}
		if !limit || q.value < leastBare || q.value >= 1900 && q.value <= 2040 || !r.bareAmount(q) {
			return ""
		}
		return "limit"
	}
	if m := r.nearestBudget(q, "price"); m != nil && (!limit || r.gap(m, q) < r.gap(r.nearestBudget(q, "limit"), q)) {
		return "price"
	}
	if limit {
		return "limit"
	}
	if r.isAny(q.from-1, "isnt", "arent", "wasnt", "not") { // "one that isn't $150"
		return "price"
	}
	if (r.isAny(q.from-1, "a", "an") || r.isAny(q.from, "a", "an")) && q.to < len(r.toks) && (r.toks[q.to].taken || r.isAny(q.to, "led", "bulb", "set")) { // "a twenty dollar H11"
		return "price"
	}
	if r.isAny(q.from-1, "the", "these", "those", "some") || r.isAny(q.from-2, "the") && r.isAny(q.to, "ones", "bulbs", "bulb", "set", "kit", "kits", "leds", "led") {
		return "price"
	}
	return "neutral"
}

// limitReach is how many tokens may stand between a limit word and its amount.
const limitReach = 5

func (r *reading) limitNear(q *quantity) bool { return r.nearestBudget(q, "limit") != nil }

// nearestBudget gives the nearest word of the budget table with this value in reach of an amount.
func (r *reading) nearestBudget(q *quantity, value string) *match {
	reach := limitReach
	if q.unit == "" {
		reach = 3
		if per := r.at(slotPer, q.to); per != nil { // "100 for the pair is my ceiling"
			reach += per.to - per.from
		}
	}
	m := r.near(slotBudget, value, q.from, q.to, reach)
	if m != nil && m.from >= q.to && m.from <= q.to+1 && r.isAny(m.from, "below", "under", "above", "over", "within") {
		return nil // such a word stands before its amount: "40 below" is weather
	}
	if m != nil && r.inOther(m, q) { // the "an hour" of "half an hour" is no wage
		return nil
	}
	return m
}

// inOther says whether a phrase is part of a quantity that is no money.
func (r *reading) inOther(m *match, q *quantity) bool {
	for i := range r.quantities {
		o := &r.quantities[i]
		if o != q && o.unit != "money" && o.unit != "" && o.from < m.to && m.from < o.to {
			return true
		}
	}
	return false
}

// corrected gives the amount that the asker puts right: "80 dollars, no wait, 90".
func (r *reading) corrected(q *quantity) *quantity {
	for i := range r.quantities {
		o := &r.quantities[i]
		if o.from > q.to && o.from-q.to <= 5 && (o.unit == "money" || o.unit == "") && o.value >= leastBudget && o.value <= mostBudget &&
			!r.toks[o.from].taken && r.between(q.to, o.from, "wait", "scratch", "sorry", "mean", "meant", "correction") {
			c := *o
			if c.currency == "" {
				c.currency = q.currency
			}
			c.unit = q.unit
			return &c
		}
	}
	return q
}

func (r *reading) gap(m *match, q *quantity) int {
	switch {
	case m == nil:
		return 1 << 20
	case m.to <= q.from:
		return q.from - m.to
	case m.from >= q.to:
		return m.from - q.to + 1
	}
	return 0
}

// bareAmount says whether a number without a currency can be an amount: nothing that is counted follows.
func (r *reading) bareAmount(q *quantity) bool {
	if q.to >= len(r.toks) {
		return true
	}
	t := &r.toks[q.to]
	if t.kind == comma || t.kind == stop {
		return true
	}
	if t.joint == glued {
		return false
	}
	if m := r.nearestBudget(q, "limit"); m != nil && m.to <= q.from && q.from-m.to <= 2 {
		return true
	}
	return r.at(slotPer, q.to) != nil || r.at(slotBudget, q.to) != nil ||
		r.isAny(q.to, "or", "if", "please", "pls", "plz", "max", "tops", "total", "for", "on", "per", "and", "with", "all", "but", "to", "including", "incl", "inc", "delivered", "shipped")
}

// perReach is how many tokens after or before an amount may say what it is for.
const perReach = 7

// severalSizes says whether two different sizes are named.
func (r *reading) severalSizes() bool {
	for _, s := range r.sizes {
		if s.size != r.sizes[0].size {
			return true
		}
	}
	return false
}

// perOf says what an amount is for: each, pair, all, or "" if not said.
func (r *reading) perOf(q *quantity) string {
	best, least := "", 1<<20
	for i := range r.found[slotPer] {
		m := &r.found[slotPer][i]
		if m.value == "none" || r.toks[m.from].sentence != r.toks[q.from].sentence {
			continue
		}
		if m.to <= q.from && m.value == "pair" && r.isAny(m.from, "two", "2") && r.severalSizes() { // "two bulbs, HB3 and H11"
			continue
		}
		gap := r.gap(m, q)
		reach := perReach
		if m.to <= q.from { // before the amount only "pair of …" and the like
			gap += 3
			reach = perReach + 8
			if m.value == "each" {
				reach = 4
			}
		}
		if gap < least && gap <= reach {
			best, least = m.value, gap
		}
	}
	if best == "together" {
		return ""
	}
	return best
}
