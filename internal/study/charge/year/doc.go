// Package year takes a panel, a controller and a battery through minutes of weather, up to years of them: what the battery is
// charged, what is gassed, drawn, spilled and left unmet. It is the kernel of the charge study and knows only numbers.
//
// A [System] says what there is, [New] makes a [Sim] of it, [Sim.Run] takes it through minutes, [Run] many of them
// side by side. [Sim.Totals] are the sums since the start; what passed is balanced in them to rounding.
//
// The step is a minute. Within it what comes from outside is constant; the battery's voltage follows its state at the middle of the step, and pwm acts as
// its mean. What switches within a minute, timers and thresholds, is found there and the minute is cut in two. On-off regulation is
// averaged over its cycle, which is shorter than a minute and whose mean does not depend on what makes it slow.
//
// Units are those of the SI: V, A, W/m², K, s, C, J. Currents into the battery are positive.
package year
