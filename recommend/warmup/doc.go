// Package warmup turns meter readings into figures that carry their doubt: what the light is at the
// end of a trip, and how it compares with the stock halogen. It takes plain numbers and gives plain
// values; it reads no file, no clock and no terminal.
//
// From a reading to a figure:
//
//  1. Reduce checks the readings: times rise, lux is positive and finite (reading.go).
//  2. Every reading is divided by the local level, so that a scatter in percent weighs all alike
//     (sample.go).
//  3. Bad readings are left out and named; the series is cut at a step (features.go, analyse.go).
//  4. For fixed time constants the curve L(t) = Linf + (L0 - Linf) exp(-t/tau), or the sum of two
//     such terms, is linear in what is left, and its band at any time is a Student t. A grid of time
//     constants, each weighted by how well it explains the readings and by how usual it is, gives
//     the mixture from which every figure and band is read (average.go, mixture.go). So the band
//     holds the doubt about the time constants and about whether there are one or two of them.
//  5. The single best curve (leastsquares.go, fit.go) gives the time constant and the name of the
//     shape: a further term is kept if the F test calls it certain at 1 %.
//  6. When the light is settled follows from the mixture and a published criterion (settle.go).
//  7. One or two readings are numbers and no curve (pair.go); EnoughToStop says whether it is worth
//     reading on (enough.go).
//  8. VsStock divides by stock: both at one voltage, with a list of what makes the band, what does
//     not, and with whom each part is shared (vsstock.go, volts.go). Facts that are missing count
//     at their worst plausible value (defaults.go). SiblingRatio lends the result to another size.
package warmup
