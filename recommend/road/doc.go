// Package road computes what a headlamp's light means on the road: candela from
// lux, the distance the light reaches, the distance needed to stop, glare in an
// oncoming eye, where the cutoff belongs on a wall, colour against the white
// boundaries, and what a pack's claims are worth. Plain numbers in, plain values
// out; it opens no file and knows no clock.
//
// Angles are in degrees: h positive to the right in plan view, v positive up as a
// true elevation, both from the lamp's axis (the convention of 49 CFR 571.108
// S14.2.5.8.1.3-4).
//
// Every formula names its source and carries one of these marks:
//
//	[read]             seen in the document named
//	[second hand]      seen in a transcription or reprint that names the document
//	[computed]         follows from formulas marked here
//	[from memory]      not checked against the document
//	[common practice]  a fact of the trade without a single source
package road
