package recommend

import "stillbright/data"

// index finds the records of a catalog that a decision asks for again and
// again; looking through all of them each time would make a long catalog slow.
type index struct {
	rigs   map[string]*data.Rig
	models map[string][]*data.Bulb // the bulbs of one product, in the catalog's order
}

func newIndex(c *data.Catalog) *index {
	x := &index{rigs: make(map[string]*data.Rig, len(c.Rigs)), models: make(map[string][]*data.Bulb, len(c.Bulbs))}
	for i := range c.Rigs {
		if rig := &c.Rigs[i]; x.rigs[rig.ID] == nil {
			x.rigs[rig.ID] = rig
		}
	}
	for i := range c.Bulbs {
		if bulb := &c.Bulbs[i]; bulb.Model != "" {
			x.models[bulb.Model] = append(x.models[bulb.Model], bulb)
		}
	}
	return x
}

// model lists the bulbs of one product; a bulb without one has none.
func (x *index) model(name string) []*data.Bulb { return x.models[name] }

// testsOf lists the tests of a bulb whose rig is on record.
func (x *index) testsOf(bulb *data.Bulb) []tried {
	n := 0
	for i := range bulb.Lots {
		n += len(bulb.Lots[i].Tests)
	}
	list := make([]tried, 0, n)
	for i := range bulb.Lots {
		lot := &bulb.Lots[i]
		for k := range lot.Tests {
			if rig := x.rigs[lot.Tests[k].Rig]; rig != nil {
				list = append(list, tried{bulb, lot, &lot.Tests[k], rig})
			}
		}
	}
	return list
}
