// Package store is the user's folder: strict reading with positions, locks,
// and atomic writing. It is the only room that knows YAML.
//
// # The folder
//
// A catalog is a folder of small YAML files, made to be read, reviewed and kept
// in git:
//
//	catalog.yaml      name of the catalog, whose bench it is; makes the folder a catalog
//	bulbs/ID.yaml     one bulb in one size, with all its lots and their tests
//	rigs/ID.yaml      one lamp on the bench
//	cars/ID.yaml      one car with its lamps
//	rules.yaml        optional: thresholds, driving profiles and weights of one's own
//	words.yaml        optional: words of one's own for plain questions
//	check.yaml        optional: when a legal record is called implausible
//	.lock             what writers lock; never removed, and a left-over one blocks nobody
//	.drafts/          journals of interviews and bench runs that are not saved yet
//	.history/         the former text of replaced files, and finished drafts
//
// ID is the id inside the record: small letters, digits and hyphens. Names that
// begin with a dot or end in ~ or .example are not records. Temporary files are
// called .ID.yaml.PID-RANDOM.tmp and stand beside the file they will replace.
//
// Each file holds one document of plain YAML in UTF-8, without anchors, aliases
// and tags, up to 1 MB. Its keys, units and legal values are the struct tags of
// package data; FormatHelp prints them and the examples of Start explain them.
// The key format is the version of the file format. A file of a newer version is
// a fault, and nothing in the folder is then written.
//
// The three optional files lie over what the program knows. rules.yaml and
// check.yaml change single figures, each with its own reason; a driving profile
// is replaced whole. words.yaml adds phrases.
//
// # Reading
//
// Load and Decode return every fault at once, each with file:line:col, the key
// path, what is wrong and what to do. Reading needs no lock, since a file is
// always whole.
//
// # Remembering
//
// LoadCached is Load, in a fraction of the time. Beside the catalog, in the user's
// cache folder, it keeps the records of one catalog in one packed file
// (cachefile.go), each with the signature of the file it was read from
// (signature.go). A record is taken from there only while its file has that very
// signature and was left alone for two seconds when it was read; files with a
// fault are never kept, so that faults always come from the text. The checks
// between records are left out only when no file at all has changed since they
// were made. The packed form (codec.go) follows the tags of package data and
// refuses what Decode refuses. Systems that tell no change time keep nothing.
//
// # Writing
//
// A Writer takes the lock, reads the folder anew, checks the whole result and
// then replaces the files that differ, each at once: temporary file, sync,
// rename, sync of the folder. A process may be killed at any moment; each file
// is then as it was before or as it is after, and what was acknowledged is on
// the disk. Merge keeps the user's comments, order and spelling. A replaced file
// leaves a dated copy in .history unless git has committed that very text.
// Nothing is deleted but temporary files older than an hour.
//
// Symbolic links are read but never written through, and no file outside the
// folder is ever written. A folder on a disk shared between machines is only as
// safe as the locks of that disk.
package store
