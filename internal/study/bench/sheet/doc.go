// Package sheet answers between which readings a unit that was made is to be accepted, so that what is promised
// for each unit is kept: acceptance limits from the tester's uncertainty and the spread of the product, and a test sheet.
//
// Values are in SI units. Equations are numbered [J1]… as in docs/models.md.
//
// Units and readings are taken for normal; a meter's limits count as a standard uncertainty of limit/√3, drawn anew
// for each unit as JCGM 106 does. In truth one meter errs alike for all units: over many meters the shares are right, with one they
// are all better or all worse.
//
// Source: JCGM 106:2012 (Evaluation of measurement data - The role of measurement uncertainty in conformity assessment).
package sheet
