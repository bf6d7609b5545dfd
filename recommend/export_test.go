package recommend

import "stillbright/data"

// Duels is Decide, with the probability, by the draws of the verdict, that one of two
// of its bulbs is better than the other; StockID is the fitted halogen.
func Duels(k *Knowledge, c *data.Catalog, n Need) (Pick, func(a, b string) float64, error) {
	pick, err := Decide(k, c, n, Options{Seed: 1, Brief: true})
	if err != nil {
		return pick, nil, err
	}
	d := newWork(k, c, nil)
	d.need, d.size, _, err = complete(n, k)
	d.scale = outputScale(k.profiles(d.need.Driving))
	b, _ := d.ballotOf(&pick)
	place := func(id string) int {
		if id == StockID {
			return stockPlace
		}
		return BulbOf(&pick, id).judged.place
	}
	return pick, func(x, y string) float64 { return b.field.Beats(place(x), place(y), b.weights) }, err
}
