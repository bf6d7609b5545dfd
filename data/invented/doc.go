// Package invented makes up catalogs of any length for tests and for the
// benchmark: bulbs in eight sizes, lots, lamps and tests as a busy bench has
// them, with one bulb in each size that is the best and some that only look so.
// Nothing in it is real. The same length gives the same catalog on every
// machine.
package invented
