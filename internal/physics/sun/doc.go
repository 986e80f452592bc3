// Package sun answers where the sun stands and what falls on a plane: position, rise and set,
// extraterrestrial and clear-sky irradiance, the split into beam and diffuse, and the plane of array.
//
// Angles are in rad, azimuths from north over east, longitudes positive to the east; irradiance
// is in W/m², irradiation in J/m², time is UTC. Every function gives finite numbers at the poles,
// at the horizon and at night. The same bits come out on amd64 and WebAssembly (package numeric).
//
// Two descriptions of the sun stand side by side. Place.At is precise to 0.001° from 1950 to 2050
// (in UT1; UTC is within 0.9 s of it, 0.004° of hour angle) and is what weather and studies use. Declination, Eccentricity and what builds on them are the
// handbook's day-of-year forms, good to some 0.5°, which handbook correlations were fitted with.
//
// Weather through a year, from monthly means or files, is in package weather beside this one.
//
// Sources: [SPA] I. Reda and A. Andreas, Solar Position Algorithm for Solar Radiation Applications,
// NREL/TP-560-34302, rev. 2008. [ME] J. Meeus, Astronomical Algorithms, 2nd ed. 1998.
// [DB] J. A. Duffie and W. A. Beckman, Solar Engineering of Thermal Processes, 4th ed. 2013.
// Those of single formulas are named where they stand.
package sun
