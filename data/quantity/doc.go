// Package quantity reads, converts and prints a value with its unit.
//
// Every quantity a user types or writes in a file passes through here, so that
// 55mm, 5.5cm and "2 1/4 in" mean the same everywhere. The package is pure: text
// and numbers in, numbers, text and errors out.
//
// Conversion factors are exact: 1 in = 25.4 mm, 1 ft = 0.3048 m, 1 mi = 1609.344 m,
// 1 lb = 453.59237 g (international yard and pound, as in NIST SP 811, appendix B);
// a foot-candle is one lumen per square foot.
package quantity
