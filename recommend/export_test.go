package recommend

import "stillbright/data"

// Verdict is Decide without how sure the order is, what would change it and what
// to do besides, as other rooms of this one ask it many times. The answer is the
// same.
func Verdict(k *Knowledge, c *data.Catalog, n Need) (Pick, error) {
	return decide(k, c, n, Options{}, false)
}
