package beam

// FromMarks makes a Pattern of marks given by eye: parts, score and wide band; no
// figure is known. The marks compare the beam on the wall with the stock beam in
// the same lamp:
//
//	mark  cutoff             hot spot            stray light       dark spots      width
//	3     as sharp as stock  where stock's is    as dark as stock  none            as wide
//	2     a little softer    up to 1 deg off     a faint veil      faint           a little less
//	1     a broad band       up to 3 deg off     clearly lighter   one clear hole  clearly less
//	0     no line            split or far off    it dazzles        holes, stripes  a narrow spot
//
// Errors: unknown beam, a mark outside 0..3, weights that contradict each other.
func FromMarks(m Marks, o Options) (Pattern, error) {
	o, err := o.check()
	if err != nil {
		return Pattern{}, err
	}
	d := newFinding(o)
	d.p.Method = MethodGrade
	if d.p.Parts, err = PartsFromMarks(m, o.Weights); err != nil {
		return Pattern{}, err
	}
	r, err := Score(o.Beam, d.p.Parts, o.Weights.Grade, o.Weights)
	if err != nil {
		return Pattern{}, err
	}
	d.p.Score, d.p.Low, d.p.High = r.Score, r.Low, r.High
	d.note("marks by eye: the band is wide, and stray light against stock is not known as a figure")
	return d.p, nil
}
