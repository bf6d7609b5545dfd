// Package sure says how sure a ranking is. The ranking is by a weighted sum of
// three values of each bulb, 0..1: output, pattern and heat (see [Output],
// [Pattern], [Heat]). Three different doubts are kept apart, because they are
// answered by different acts.
//
// Doubt about the measurements ([Noise]). Every figure has errors. Those that
// two bulbs share, such as the stock reading of one rig, move both and cancel
// when they are compared; those of one bulb alone do not; and the owner's lamp is
// not the bench's lamp. Noise draws true values that agree with the readings,
// many times, from a seed, and counts how often each bulb is best at the
// owner's weights. These are probabilities.
//
// A bulb seldom leads a list by merit alone: of several readings with errors the
// highest is likely to be one that erred upwards. So a reading is not taken at
// its word. The bulbs of a kind are taken as draws from one population with an
// unknown centre and spread, and each true value is drawn between the reading
// and the centre, nearer to the centre the larger the error is against the
// spread. The spread is estimated from the same readings, kept uncertain, and
// averaged over. When the readings differ no more than their errors explain,
// all bulbs come out nearly alike and nobody is said to lead. Without this, a
// program that says 75 % is right less often than that; with it, it is right
// about that often as long as the population has no long tail (the tests hold
// both). A population may lean: where there are many bulbs and the readings show
// that the bad ones lie further from the centre than the good ones, the good ones
// are taken to lie closer together. With few bulbs the readings cannot show it,
// and with a tail of bad ones a probability is up to a tenth too high; among twenty
// or more bulbs it is still up to two tenths too high. A heavier tail (Student's t)
// for the population, tried, changed nothing of that.
//
// Two consequences may surprise. A bulb with one poor reading and wide errors can
// be less likely to be first than its place in the list suggests, and the other way
// round, since the list takes each bulb by itself. And adding bulbs to the catalog
// changes these probabilities for the others, because it changes what is known of the
// population; it does not change the list.
//
// Doubt about the owner's priorities ([Shares]). All weights that sum to one form
// a triangle. For three values the region in which a bulb is first is a polygon,
// so its share of the triangle is computed, not drawn; over the whole triangle,
// or [Near] the owner's weights. Measurement errors play no part. A share is not
// a probability: nobody draws priorities at random. It says how much the
// priorities would have to be bent. Bulbs with the same values share equally; a
// bulb that is worse in everything than another is first nowhere.
//
// The verdict itself ([Field]). Which bulb is named is asked of the figures with
// their errors by themselves, at points that are the same for every bulb: the
// expected score, and how often one is better than another. Nothing in it depends on
// who else is in the catalog, on names or on order, and a better figure never fares
// worse by luck. It has no population; that is why its probabilities are said of two
// bulbs at a time, and those of being first of all come from [Noise].
//
// How far lamps differ from one another is estimated from readings of one bulb in
// several ([Between]). [Worth] says which thing not known is worth asking: how
// much better the pick would be on average for knowing it.
package sure
