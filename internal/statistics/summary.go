package statistics

// Summarise returns what samples of one figure say of it (JCGM 101:2008 7.6, 7.7), as MonteCarlo does of
// its own. y is reordered and kept as Values; it must hold 2 finite numbers or more, 0 < level < 1.
func Summarise(y []float64, level float64) Result { return summarise(y, level) }
