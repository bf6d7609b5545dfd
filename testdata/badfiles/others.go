package badfiles

import (
	"bytes"
	"image"
	"image/png"
	"strings"
)

// Series are texts that are no run of lux readings: one reason each.
func Series() map[string][]byte {
	long := strings.Repeat
	files := map[string][]byte{}
	for name, text := range map[string]string{
		"empty": "", "blank": "\n\n\n", "comments only": "# a\n# b\n", "head only": "min,lux\n", "words": "min,lux\na,b\nc,d\n", "one column": "700\n701\n", "zero": "min,lux\n0,\x00\n", "binary": "\x7fELF\x00\x00", "not utf-8": "min,lux\n\xff,\xfe\n", "open quote": "min,lux\n\"0,700\n1,701\n", "line of 50 MB": "min,lux\n" + long("7", 50<<20), "100000 columns": long("1,", 100_000) + "\n", "too large": long("# c\n", 17<<20),
		"lux of nothing": "min,lux\n0,0\n1,0\n", "lux below zero": "min,lux\n0,-5\n1,-6\n", "lux endless": "min,lux\n0,inf\n1,inf\n", "lux too large": "min,lux\n0,1e300\n1,1e300\n", "lux not a number": "min,lux\n0,NaN\n1,NaN\n", "time backwards": "min,lux\n5,700\n4,700\n3,700\n", "same time": "min,lux\n1,700\n1,701\n", "time endless": "min,lux\n1e999,700\ninf,701\n", "time below zero": "min,lux\n-5,700\n-4,701\n", "clock of hours beyond": "time,lux\n99:99:99,700\n98:99:99,701\n", "days beyond": "time,lux\n2026-02-31 10:00,700\n2026-02-32 10:01,701\n",
		"units that clash": "min,lux\n0,700 lx\n1,70 fc\n", "escape": "min,lux\n\x1b[2J,\x1b[31m\n\x1b[2J,\x9b\n", "formula": "min,lux\n=1,=2\n=2,=3\n", "bidi": "min,lux\n\u202e0,\u202e7\n\u202e1,\u202e8\n", "utf-16 odd": "\xff\xfem\x00i", "decimal commas": "min,lux\n0,5,700,1\n1,5,701,1\n",
	} {
		files[name] = []byte(text)
	}
	return files
}

// Grids are texts that are no measured beam: one reason each. Those whose name
// ends in ies are for the reader of LM-63.
func Grids() map[string][]byte {
	long := strings.Repeat
	files := map[string][]byte{}
	for name, text := range map[string]string{
		"empty": "", "head only": "h,v,lux\n", "one row": "h,v,lux\n1,2,3\n", "words": "a,b,c\n1,2,3\n", "not a number": "h,v,lux\n0,0,1\n1,0,nan\n", "endless": "h,v,lux\n0,0,1\n1,0,inf\n", "too large a number": "h,v,lux\n0,0,1\n1,0,1e999\n", "hexadecimal": "h,v,lux\n0,0,1\n1,0,0x10\n", "below zero": "h,v,lux\n0,0,1\n1,0,-4\n", "beyond the sphere": "h,v,lux\n0,0,1\n0,91,1\n", "behind the lamp": "h,v,lux\n0,0,1\n181,0,1\n", "same place": "h,v,lux\n0,0,1\n1,1,1\n0,0,1\n", "cells missing": "h,v,lux\n0,0,1\n1,1\n", "ragged": "lux,1,2\n0,1\n",
		"escape": "h,v,lux\n\x1b[2J,0,1\n1,0,1\n", "zero": "h,v,lux\n0\x00,0,1\n", "not utf-8": "h,v,lux\n\xff\xfe,0,1\n", "bidi": "h,v,lux\n\u202e1,0,1\n1,1,1\n", "formula": "h,v,lux\n=1,0,1\n1,1,1\n", "line of 50 MB": long("9", 50<<20), "100000 columns": "lux," + long("1,", 100_000) + "\n0," + long("1,", 100_000) + "\n", "many quotes": long(`"`, 1<<20), "other unit": "h,v,watt\n0,0,1\n1,1,1\n",
		"empty ies": "", "head of ies": "IESNA:LM-63-2002\n", "no tilt ies": "IESNA:LM-63-2002\n[TEST] x\n1 2 3\n", "counts beyond ies": "IESNA:LM-63-2002\nTILT=NONE\n1 1000 1 999999999 999999999 1 2 0 0 0\n1 1 10\n", "counts below zero ies": "IESNA:LM-63-2002\nTILT=NONE\n1 1000 1 -5 -5 1 2 0 0 0\n1 1 10\n", "not a number ies": "IESNA:LM-63-2002\nTILT=NONE\n1 1000 nan 2 2 1 2 0 0 0\n1 1 10\n0 1\n0 1\n1 2 3 4\n", "cut ies": "IESNA:LM-63-2002\nTILT=NONE\n1 1000 1 2 2 1 2 0 0 0\n1 1 10\n0 1\n0 1\n1 2 3\n", "escape ies": "IESNA:LM-63-2002\n[TEST] \x1b[2J\nTILT=\x1b[2J\n", "tilt file ies": "IESNA:LM-63-2002\nTILT=../../etc/passwd\n1 1000 1 2 2 1 2 0 0 0\n",
	} {
		files[name] = []byte(text)
	}
	return files
}

// Pictures are files that are no photo of a wall: one reason each.
func Pictures() map[string][]byte {
	var whole bytes.Buffer
	if err := png.Encode(&whole, image.NewGray(image.Rect(0, 0, 64, 48))); err != nil {
		panic(err)
	}
	good := whole.Bytes()
	huge := bytes.Clone(good)
	copy(huge[16:24], "\x7f\xff\xff\xff\x7f\xff\xff\xff") // width and height of the header; its sum is wrong too
	return map[string][]byte{
		"empty": {}, "text": []byte("not a photo\n"), "cut": good[:len(good)/2], "header only": good[:33], "mark only": good[:8], "bits flipped": flipped(good), "sides of 2 billion": huge, "jpeg mark only": []byte("\xff\xd8\xff\xe0"), "jpeg cut": []byte("\xff\xd8\xff\xe0\x00\x10JFIF\x00\x01\x01\x00\x00\x01\x00\x01\x00\x00\xff\xc0\x00\x11\x08\xff\xff\xff\xff\x03\x01\x11\x00\x02\x11\x01\x03\x11\x01"), "svg": []byte(`<svg xmlns="http://www.w3.org/2000/svg"><script/></svg>`), "gif": []byte("GIF89a\x01\x00\x01\x00\x00\x00\x00;"), "escape": []byte("\x1b[2J\x1b]0;x\x07"), "zip": Zip(map[string]string{"a": "b"}),
		"all black": good, // no light is in it
	}
}

// Questions are lists of questions that hold none: one reason each.
func Questions() map[string][]byte {
	long := strings.Repeat
	files := map[string][]byte{}
	for name, text := range map[string]string{
		"empty": "", "head only": "question\n", "blank": "question\n \n\"\"\n", "zero": "question\n\x00\n", "not utf-8": "question\n\xff\xfe\xfd\n", "open quote": "question\n\"open\n" + long("x\n", 200), "line of 50 MB": "question\n" + long("x", 50<<20), "escape only": "question\n\x1b\x9b\n", "utf-16": "\xff\xfeq\x00", "utf-16 other": "\xfe\xff\x00q",
	} {
		files[name] = []byte(text)
	}
	return files
}
