package draw

import (
	"cmp"
	"image"
	"image/color"
	"slices"
)

// slim stores a picture with a palette, which makes the file a third of the size:
// its 256 most frequent colours, and for the others, all of them at soft edges,
// the nearest of those.
func slim(picture *image.RGBA) image.Image {
	// Most dots are like the one before; only the others ask the map.
	counts := map[color.RGBA]int{}
	last, run := pixel(picture, 0), 0
	for i := 0; i < len(picture.Pix); i += 4 {
		if c := pixel(picture, i); c != last {
			counts[last] += run
			last, run = c, 0
		}
		run++
	}
	counts[last] += run
	colours := make([]color.RGBA, 0, len(counts))
	for c := range counts {
		colours = append(colours, c)
	}
	slices.SortFunc(colours, func(a, b color.RGBA) int {
		return cmp.Or(cmp.Compare(counts[b], counts[a]), cmp.Compare(a.R, b.R), cmp.Compare(a.G, b.G), cmp.Compare(a.B, b.B))
	})
	var palette color.Palette
	index := map[color.RGBA]uint8{}
	for i, c := range colours {
		if i < 256 {
			palette = append(palette, c)
			index[c] = uint8(i)
		} else {
			index[c] = uint8(palette.Index(c))
		}
	}
	out := image.NewPaletted(picture.Bounds(), palette)
	at := index[last]
	for i := range out.Pix {
		if c := pixel(picture, 4*i); c != last {
			last, at = c, index[c]
		}
		out.Pix[i] = at
	}
	return out
}

func pixel(picture *image.RGBA, i int) color.RGBA {
	return color.RGBA{R: picture.Pix[i], G: picture.Pix[i+1], B: picture.Pix[i+2], A: 255}
}
