// Package charge answers: what does a year do to the battery?
//
// It takes an installation (panel, leads, controller, battery, loads, place) minute by minute through years that differ, each with
// another unit of the product, and tells what was unmet, spilled and lost, how full the battery was, and what was gassed. The step
// itself is package year beside it; the weather is physics/sun/weather, the way from panel to battery package hardware.
//
// SI units inside: V, A, C, J, kg, m³, s, K. A year begins in its sunniest month, a month after the battery was full, so that its
// winter is whole.
//
// It leaves out: snow and skyline, the loads' own voltage limits, ageing within the year, rebulk by voltage within a day, and what
// regulates beside the battery's voltage (charge stops by temperature are kept).
package charge
