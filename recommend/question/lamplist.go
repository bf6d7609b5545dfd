package question

// Sizes and beams that are told in two lists: "9006/9005 low/high", "H7 + H7 + H11: dip main fog".

// shareParallel turns "9006/9005 low/high" into a beam for each size: as many sizes as beams, all sizes before all
// beams or after them. The beam of the pair phrase is taken from its first word.
func (r *reading) shareParallel(marks []mark) {
	r.shareList(marks)
	for i := 0; i+3 < len(marks); i++ {
		r.shareInOrder(marks[i : i+4])
	}
	for i := 0; i+2 < len(marks); i++ {
		a, b, c := &marks[i], &marks[i+1], &marks[i+2]
		var first, second, pair *mark
		switch {
		case a.size != "" && b.size != "" && c.beam == "pair":
			first, second, pair = a, b, c
		case a.beam == "pair" && b.size != "" && c.size != "":
			first, second, pair = b, c, a
		default:
			continue
		}
		apart := r.toks[pair.from].sentence - r.toks[first.from].sentence
		if len(marks) == 3 && apart == -1 { // "LED on dip and main. H7 + H1."
			apart = 0
		}
		if first.size == second.size || r.toks[first.from].sentence != r.toks[second.from].sentence || apart != 0 {
			continue
		}
		beams := [2]string{"low", "high"}
		switch r.toks[pair.from].text[0] { // high, hi, main, full
		case 'h', 'm', 'f':
			beams = [2]string{"high", "low"}
		}
		if unusual(first.size, second.size, beams[0]) {
			pair.beam = "" // the usual places are the other way round: the order was not meant
			continue
		}
		first.beam, second.beam, pair.beam = beams[0], beams[1], ""
	}
}

// shareFog gives the one beam that is named, fog, to every size of a bare list of sizes made for fog lamps, or of
// such that go with them on one mount: "H8 H11 H16 for fogs".
func (r *reading) shareFog(sizes, beams []mark, marks []mark) {
	if len(sizes) < 2 || len(beams) != 1 || beams[0].beam != "fog" {
		return
	}
	for i, s := range sizes {
		if !r.words.fog[s.size] && !r.words.fogToo[s.size] || i > 0 && s.from-sizes[i-1].to > 1 {
			return
		}
	}
	for i := range marks {
		if marks[i].size != "" {
			marks[i].beam = "fog"
		} else {
			marks[i].beam = ""
		}
	}
}

// unusual says whether two sizes would stand the other way round than they nearly always do: HB3 is high beam, HB4 low.
func unusual(first, second, firstBeam string) bool {
	return first == "HB3" && second == "HB4" && firstBeam == "low" || first == "HB4" && second == "HB3" && firstBeam == "high"
}

// shareInOrder gives two beams to two sizes that stand next to each other before or after them:
// "LED on low, halogen on high, 9006/9005".
func (r *reading) shareInOrder(m []mark) {
	sizes, beams := m[:2], m[2:]
	if m[0].size == "" {
		sizes, beams = beams, sizes
	}
	for k := range 2 {
		if sizes[k].size == "" || sizes[k].beam != "" || beams[k].size != "" || beams[k].beam != "low" && beams[k].beam != "high" {
			return
		}
	}
	if beams[0].beam == beams[1].beam || sizes[0].size == sizes[1].size || sizes[1].from-sizes[0].to > 1 ||
		beams[1].from-beams[0].to > 6 || unusual(sizes[0].size, sizes[1].size, beams[0].beam) {
		return
	}
	for k := range 2 {
		sizes[k].beam, beams[k].beam = beams[k].beam, ""
	}
}

// shareList gives the beams of a list to the sizes of a list as long before or after it: "H7 + H7 + H11: dip main fog".
func (r *reading) shareList(marks []mark) {
	for i := 0; i < len(marks); i++ {
		n := r.listFrom(marks, i)
		if n < 3 || i+2*n > len(marks) || r.listFrom(marks, i+n) != n || marks[i+n].from-marks[i+n-1].to > 4 {
			continue
		}
		sizes, beams := marks[i:i+n], marks[i+n:i+2*n]
		if sizes[0].size == "" {
			sizes, beams = beams, sizes
		}
		for k := range n {
			sizes[k].beam, beams[k].beam = beams[k].beam, ""
		}
		return
	}
}

// listFrom counts the marks of one kind that stand in a row from mark i, each at most one token after the one before.
func (r *reading) listFrom(marks []mark, i int) int {
	plain := func(m mark) bool {
		return m.size != "" && m.beam == "" || m.size == "" && (m.beam == "low" || m.beam == "high" || m.beam == "fog")
	}
	n := 0
	for k := i; k < len(marks) && plain(marks[k]) && (marks[k].size == "") == (marks[i].size == ""); k++ {
		if k > i && marks[k].from-marks[k-1].to > 1 {
			break
		}
		n++
	}
	return n
}
