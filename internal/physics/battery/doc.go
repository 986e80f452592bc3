// Package battery holds what a battery does at its terminals: two branches side by side, one that stores charge and
// one that makes gas of it, over the charge that it still lacks and its temperature.
//
// A [Cell] has the constants of a chemistry, [Defaults] gives them with their sources, [New] makes a [Battery] of
// cells. [Battery.At] gives its [Branch] at a moment. Around it: gas, water and ventilation, self-discharge, age,
// the lag of its temperature, the cycles it was put through, and two simple models of how long a charge lasts.
//
// Units are those of the SI: volts, amperes, coulombs (1 Ah = 3600 C), kelvins, seconds, kilograms. Currents
// into the battery are positive. Lead cells have 2 V, lithium-iron-phosphate cells 3.2 V.
//
// What a battery lacks is counted as its deficit: 0 where it is full, its capacity where it is empty. Near full a small
// deficit is known to many digits where a state of charge near 1 is not.
//
// Sources: Schiffer, Sauer, Bindner, Cronin, Lundsager and Kaiser, J. Power Sources 168 (2007), p. 66, for the branches and
// gassing; Faraday's law; IEC 62485-2 for ventilation; ASTM E1049-85 for cycles; Manwell and McGowan,
// Solar Energy 50 (1993), p. 399, for two wells; Peukert 1897. Each constant of [Defaults] is marked: published,
// published but cited from memory, common practice, or our estimate.
package battery
