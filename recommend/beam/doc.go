// Package beam turns a lux grid or a pair of wall photos into the figures of a
// beam pattern and a score with a band. It reads bytes and decoded pictures, and
// gives plain values; it opens no file and knows no clock.
//
// Angles are in degrees: h positive to the right, v positive up, both from the
// lamp's axis. G is the sharpness of the cutoff, log10 E(b) - log10 E(b + 0.1 deg).
package beam
