package recommend

import "stillbright/data"

// RankedIDs is the order of the ranked bulbs alone, without how sure it is: for
// asking many needs of one catalog.
func RankedIDs(k *Knowledge, c *data.Catalog, n Need) ([]string, error) {
	pick, err := decide(k, c, n, Options{}, false)
	if err != nil {
		return nil, err
	}
	ids := make([]string, len(pick.Ranked))
	for i, r := range pick.Ranked {
		ids[i] = r.Bulb
	}
	return ids, nil
}
