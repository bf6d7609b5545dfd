package fitment

// driver asks where the driver goes.
func driver(q *question) result {
	kind, wish := q.bulb.Supply.Driver, q.lamp.AllowedDriver
	wished := wish != "" && wish != DriverAny
	need := ""
	if wished {
		need = allowedText(wish)
	}
	switch {
	case kind != DriverInternal && kind != DriverInline && kind != DriverExternal:
		return lacking("Where the driver sits is not recorded.",
			"Look at the bulb: no box at all, a small can in the cable, or a box on a cable.").word("", need)
	case wished && bulk(kind) > bulk(wish):
		return no("You allow no driver of this kind.", "Choose a bulb with the driver you allow, or allow any.").word(kind, need)
	case kind == DriverInternal:
		return fits("The driver is inside the body: nothing to mount.").word(kind, need)
	}
	size, room := q.bulb.Supply.DriverLen, q.lamp.DriverRoom
	switch {
	case size == nil:
		return lacking("The driver is a part of its own, and its size is not recorded.", "Ruler along the longest side of the driver.")
	case room == nil:
		return unmeasured("The driver, "+said(*size, "mm")+" long, needs a place of its own.",
			measureAtLeast("longest driver that finds a safe place near the lamp", *size, "mm",
				"Engine off and cold: look for a metal surface outside the lamp, more than 100 mm from exhaust and radiator, away from belts, steering and hinge, and measure it.")).
			number(size, "", "mm")
	case !reaches(*room, *size):
		return no("There is no safe place for a driver of this size. It must not lie loose in the lamp: it rattles and shades the reflector.",
			"Choose a bulb with an internal driver.").number(size, atMost(*room), "mm")
	case kind == DriverInline:
		return fits("The driver in the cable finds its place.").number(size, atMost(*room), "mm")
	}
	return work("The driver is a box that has to be mounted.",
		"Mount it outside the sealed lamp on metal, tied at two points, connector downward, with a drip loop, away from exhaust, belts, steering and hinge.").
		number(size, atMost(*room), "mm")
}

// bulk orders the kinds of driver by the room they take. Who allows a can in
// the cable bears a bulb without one.
func bulk(kind string) int {
	switch kind {
	case DriverInternal:
		return 0
	case DriverInline:
		return 1
	}
	return 2
}

func allowedText(wish string) string {
	switch wish {
	case DriverInternal:
		return DriverInternal
	case DriverInline:
		return "internal or inline"
	}
	return "internal, inline or external"
}

// cable compares the cable with its path. An internal driver has none.
func cable(q *question) result {
	if q.bulb.Supply.Driver == DriverInternal {
		return none()
	}
	have, path, slack := q.bulb.Build.Cable, q.lamp.CableRoom, q.rules.CableSlack.Value
	switch {
	case have == nil:
		return lacking("The length of the cable to the driver is not recorded.", "Ruler along the cable from the body to the driver or plug.")
	case path == nil:
		return unmeasured("The cable is "+said(*have, "mm")+" long and has to reach a place for the driver without strain.",
			measureAtMost("path of the cable from the bulb to the driver's place", max(0, *have-slack), "mm",
				"Lay a string from the bulb to the place for the driver, as the cable would run, and measure the string.")).number(have, "", "mm")
	case reaches(*have-*path, slack):
		return fits("The cable reaches its place with some slack.").number(have, atLeast(*path+slack), "mm")
	}
	return work("The cable is too short for its path: it would hang on the plug or press under the rim of the cap.",
		"Use a sealed extension lead with the bulb's own plugs, or find a nearer place for the driver.").
		buying("an extension lead").number(have, atLeast(*path+slack), "mm")
}

// plug compares plugs. On most single-filament sizes the plug is the size's own.
func plug(q *question) result {
	own, wanted := q.bulb.Supply.Plug, q.lamp.Plug
	ofSize := wanted == ""
	if ofSize {
		wanted = q.lamp.Size
	}
	switch {
	case wanted == "":
		return unmeasured("The size of the lamp is not known, so its plug is not either.", askSize(q.bulb.Size)).softly(true)
	case own == "":
		return lacking("The plug is not recorded.", "Compare the bulb's plug with the old bulb's: shape, number of pins, key.").word("", wanted).softly(true)
	case sameSize(own, wanted), ofSize && (contains(q.bulb.AlsoFits, wanted) || q.lamp.sameBase(own)):
		return fits("The plug is the car's own.").word(own, wanted)
	}
	return work("The plug is not the car's.", "Use a sealed adapter lead from one plug to the other, and leave the wires of the car as they are.").
		buying("an adapter lead").word(own, wanted)
}
