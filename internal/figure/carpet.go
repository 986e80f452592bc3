package figure

// Carpet draws a year as a field of days by hours: a value is told by how much ink it has, a limit that is passed by an outline.
// Numbers are in the axis' unit, already scaled; the axis is always linear.
type Carpet struct {
	Title       string
	Axis        Axis // of the values: name and unit
	First       int  // day of the year that the field begins with, 0 = 1 January; months are named where Days + First ≤ 366
	Days        int  // columns, ≥ 1
	PerDay      int  // values a day, ≥ 1, the first at midnight; more than 48 are drawn as means of neighbours
	Values      []float64
	Missing     []bool   // as long as Values, or nil: there is no value. One that is not finite counts as missing too
	Low, High   float64  // that least and most ink stand for; High ≤ Low: taken from the values. Values beyond have the ink of the end
	Level       *float64 // a limit: cells above it are outlined and counted; may be nil
	LevelText   string   // what the limit is: "above 28.8 V, gassing"; empty: made from Level
	Source      string   // input file and date, for the small line below; may be empty
	HoursOfWhat string   // "hour of day" if empty; "solar time"
}
