package data

// Catalog is everything measured: bulbs, the rigs they were measured in, and
// the user's cars.
type Catalog struct {
	Name     string
	Invented bool // demo data; every screen, document and reply says so
	Bulbs    []Bulb
	Rigs     []Rig
	Cars     []Car
}

// CatalogHead is the file catalog.yaml at the top of a catalog folder.
type CatalogHead struct {
	Format   int    `yaml:"format" req:"1" min:"1" max:"1" doc:"version of this file format; 1"`
	Name     string `yaml:"name" req:"1" doc:"name of the catalog, printed with every answer"`
	Invented bool   `yaml:"invented" doc:"true for made-up data; every answer then says so"`
	Source   string `yaml:"source" req:"1" doc:"whose bench this is"`
}

// Bulb returns the bulb with the given id.
func (c *Catalog) Bulb(id string) (Bulb, bool) {
	return find(c.Bulbs, id, func(b Bulb) string { return b.ID })
}

// Rig returns the rig with the given id.
func (c *Catalog) Rig(id string) (Rig, bool) {
	return find(c.Rigs, id, func(r Rig) string { return r.ID })
}

// Car returns the car with the given id.
func (c *Catalog) Car(id string) (Car, bool) {
	return find(c.Cars, id, func(r Car) string { return r.ID })
}

func find[T any](list []T, id string, key func(T) string) (T, bool) {
	for _, item := range list {
		if key(item) == id {
			return item, true
		}
	}
	var zero T
	return zero, false
}
