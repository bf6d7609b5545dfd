// Package beam turns a lux grid or a pair of wall photos into the figures of a
// beam pattern and a score with a band. It reads bytes and decoded pictures, and
// gives plain values; it opens no file and knows no clock.
//
// Angles are in degrees: h positive to the right, v positive up, both from the
// lamp's axis. Inside, h counts toward the kerb, so that left-hand traffic is the
// mirror of right-hand traffic. G is the sharpness of the cutoff,
// log10 E(b) - log10 E(b + 0.1 deg).
//
// # The way of a measurement
//
//	grid file   ReadGrid, ReadIES      Measured     FromGrid  \
//	photo pair  CheckSize, decode      PhotoInput   FromPhoto  > Pattern, Drawing
//	by eye      five marks 0 to 3      Marks        FromMarks /
//
// Grid and photo both become a source: an even raster of light over angles for
// what is broad (hot spot, stray light, dark spots, width), and vertical scans at
// the finest step there is for the cutoff. The figures do not know which it was.
//
// # What is compared with what
//
// The stock beam in the same lamp is the measure. Regions are laid from its cutoff,
// because the lamp is not aimed again between the two; stray light, width and
// level are ratios to it. Without it a grid in candela is held to published
// figures, and a photo is refused.
//
// # What is not claimed
//
// A part that could not be measured is nil, counts as the worst there is, and
// widens the band. G in particular needs an aperture, pixels and blur well under
// 0.1 degree: the known blur is laid over the scan a second time, and if that
// costs G more than blurLoss, the first time did too. Published limits are shown
// for information and are no statement of compliance.
package beam
