// Package logfile reads what a logger wrote, as it wrote it: which numbers stand in the log, when were
// they taken, and what could not be read?
//
// Read cuts a table parted by commas, semicolons or tabs into columns over time. It finds out by itself
// what loggers do differently: headings before the table, a row of units below its head, decimal
// points or commas, stamps as a date and a clock, a clock alone, or a time elapsed; a byte order mark,
// UTF-16, Windows-1252, any line end. What it cannot settle it asks for by a key of the run.
//
// Values are in SI units, temperatures in K, time in s since the first row. A place of a column in
// which nothing could be read holds NaN, and only there: Log.Left lists each by its line and says why.
// What Log.Series returns has no such places.
//
// A file is refused, with its line, where nothing that it says can be trusted: time that runs
// backwards, a column of text, a line that is cut. So is one of more than 256 MB or 8 million rows:
// memory stays below some 700 MB. Everything else is read in one pass.
package logfile
