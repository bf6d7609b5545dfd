package question

// A word that is no slip of one letter may still sound like one of the mend list: refleckter, projekter, hedlite.

// shortestSound is the least length of the sound of a word that is found again by it.
const shortestSound = 5

// soundOf writes a word as it sounds to somebody who spells by ear: letters said alike are one letter, doubled ones
// single, every vowel after the first letter the same, silent ones left out. It works in English, German and Dutch.
func soundOf(s string) string {
	var b [24]byte
	out := b[:0]
	for i := 0; i < len(s) && len(out) < len(b); i++ {
		c := s[i]
		next := byte(0)
		if i+1 < len(s) {
			next = s[i+1]
		}
		switch c {
		case 'a', 'e', 'i', 'o', 'u', 'y', 'w':
			if i > 0 {
				c = 'a'
			}
		case 'c', 'q':
			c = 'k'
			if next == 'e' || next == 'i' {
				c = 's'
			}
			if next == 'k' {
				continue
			}
		case 'g':
			if next == 'h' && i > 0 && i+2 < len(s) && s[i+2] == 't' { // light, lite
				i++
				continue
			}
			if next == 'e' || next == 'i' {
				c = 'j'
			}
		case 'p':
			if next == 'h' {
				c = 'f'
				i++
			}
		case 'v':
			c = 'f'
		case 'z':
			c = 's'
		case 'h':
			if i > 0 {
				continue
			}
		case 'd':
			if next == 'j' || next == 't' || next == 'g' {
				continue
			}
		}
		if len(out) > 0 && out[len(out)-1] == c {
			continue
		}
		out = append(out, c)
	}
	for len(out) > 1 && out[len(out)-1] == 'a' && len(s) > 1 && s[len(s)-1] == 'e' { // a silent e
		out = out[:len(out)-1]
	}
	return string(out)
}

// soundable puts a word into the index of sounds; a sound that two words share is nobody's.
func (l *lexicon) soundable(right string) {
	sound := soundOf(right)
	if len(sound) < shortestSound {
		return
	}
	if other, taken := l.sounds[sound]; taken && other != right {
		l.sounds[sound] = ""
		return
	}
	l.sounds[sound] = right
}

// bySound gives the number of the word that text sounds like, 0 if there is none.
func (l *lexicon) bySound(text string) int32 {
	if len(text) > 24 || l.guarded[text] {
		return 0
	}
	if right := l.sounds[soundOf(text)]; right != "" {
		return l.words[right]
	}
	return 0
}
