package cli

// firstScreen is what the bare program prints: the one command a stranger needs,
// before everything else, within 80 x 24.
const firstScreen = `stillbright: which LED bulb for this car and drive, or none, by measurement.

Start here: a few questions, then a recommendation with its reasons
  stillbright pick

The same at once
  stillbright pick --size H11 --housing projector --driving rural
  stillbright reply "which h11 for dark country roads, 80 USD a pair"

Before money is spent
  stillbright fit BULB --car CAR    will it go in, light up and stay in
  stillbright compare BULB BULB     two bulbs side by side
  stillbright law GB                what is known of the rules at a place
  stillbright size 9005             what a bulb size or a lens marking means
After the swap
  stillbright aim                   where the cutoff belongs on the wall
Your own records
  stillbright catalog start         then bench, pattern and car fill them

All verbs and topics: stillbright help. One verb: stillbright pick --help.
`
