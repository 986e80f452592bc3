package reference

import (
	"context"
	"math"
	"time"

	"hindwatt/internal/numeric"
	"hindwatt/internal/physics/sun"
)

func init() {
	solve(from(spaExample), "SUN-01")
	solve(from(elevationAzimuth), "SUN-03", "SUN-05", "SUN-07", "SUN-09", "SUN-11", "SUN-13")
	solve(from(riseAndSet), "SUN-15", "SUN-17")
	solve(from(polarDays), "SUN-19")
	solve(from(solstice), "SUN-21")
	solve(from(apparentPlace), "SUN-E1", "SUN-E2")
	solve(from(solarTime), "SOL-01")
	solve(from(zenithAzimuth), "SOL-03", "SOL-33")
	solve(from(beamRatio), "SOL-05")
	solve(from(dailyOutside), "SOL-07", "SOL-13", "SOL-15")
	solve(from(clearDay), "SOL-09")
	solve(from(tiltedHour), "SOL-11")
	solve(from(hoursOfDay), "SOL-17")
	solve(from(tiltedMonth), "SOL-19", "SOL-21")
	solve(from(monthsOutside), "SOL-23", "SOL-25", "SOL-27", "SOL-29")
	solve(from(tiltedMonths), "SOL-31")
	solve(from(clearSky), "SOL-E1")
	solve(from(airMass), "SOL-E2")
}

const degree = math.Pi / 180

// spaExample is the worked example of the solar position algorithm; its incidence takes the refracted zenith.
func spaExample(ctx context.Context, in struct {
	LatDeg    float64 `json:"lat_deg"`
	LonDeg    float64 `json:"lon_deg"`
	Elevation float64 `json:"elev_m"`
	Pressure  float64 `json:"pressure_hPa"`
	Temp      float64 `json:"temp_C"`
	Slope     float64 `json:"slope_deg"`
	FromSouth float64 `json:"surface_azimuth_from_south_deg"` // west positive
}) (answers, error) {
	const at = "2003-10-17T12:30:30-07:00"
	got, err := calculate(ctx, "sun", arg("lat", in.LatDeg, " deg"), arg("lon", in.LonDeg, " deg"), "at="+at, arg("elevation", in.Elevation, " m"),
		arg("pressure", in.Pressure, " hPa"), arg("temperature", in.Temp, " °C"))
	if err != nil {
		return nil, err
	}
	when, err := time.Parse(time.RFC3339, at)
	if err != nil {
		return nil, err
	}
	z, a := got["refracted_zenith"]*degree, got["azimuth"]*degree
	to := sun.Vector{East: math.Sin(z) * math.Sin(a), North: math.Sin(z) * math.Cos(a), Up: math.Cos(z)}
	plane := sun.Plane{Tilt: in.Slope * degree, Azimuth: (180 + in.FromSouth) * degree}
	place := sun.ApparentAt(when)
	return answers{"zenith_deg": got["refracted_zenith"], "azimuth_deg": got["azimuth"], "elevation_no_refraction_deg": got["elevation"],
		"incidence_deg": math.Acos(to.Dot(plane.Normal())) / degree, "geocentric_RA_deg": place.RightAscension / degree, "geocentric_dec_deg": place.Declination / degree}, nil
}

func elevationAzimuth(ctx context.Context, in struct {
	UTC       string
	Lat       float64 `json:"lat_deg"`
	Lon       float64 `json:"lon_deg"`
	Elevation float64 `json:"elev_m"`
}) (answers, error) {
	got, err := calculate(ctx, "sun", arg("lat", in.Lat, " deg"), arg("lon", in.Lon, " deg"), "at="+in.UTC+"Z", arg("elevation", in.Elevation, " m"))
	return answers{"elevation_deg": got["elevation"], "azimuth_deg": got["azimuth"]}, err
}

// onDate is a place on a date.
type onDate struct {
	Date string
	Then string
	Lat  float64 `json:"lat_deg"`
	Lon  float64 `json:"lon_deg"`
}

func riseAndSet(ctx context.Context, in onDate) (answers, error) {
	a := answers{}
	for name, edge := range map[string]string{"geometric": "0 deg", "conventional_-0.833": "-0.833 deg"} {
		got, err := calculate(ctx, "daylight", arg("lat", in.Lat, " deg"), arg("lon", in.Lon, " deg"), "date="+in.Date, "edge="+edge)
		if err != nil {
			return nil, err
		}
		a["rise_"+name+"_hUTC"], a["set_"+name+"_hUTC"] = got["rise"], got["set"]
	}
	return a, nil
}

// polarDays gives the heights only if the calculator says that the sun neither rises nor sets.
func polarDays(ctx context.Context, in onDate) (answers, error) {
	a := answers{}
	place := sun.Place{Latitude: in.Lat * degree, Longitude: in.Lon * degree}
	for _, date := range []string{in.Date, in.Then} {
		got, err := calculate(ctx, "daylight", arg("lat", in.Lat, " deg"), arg("lon", in.Lon, " deg"), "date="+date)
		if err != nil {
			return nil, err
		}
		_, rises := got["rise"]
		_, sets := got["set"]
		start, err := time.Parse(time.DateOnly, date)
		if err != nil || rises || sets {
			return answers{}, err
		}
		low, high := math.Pi, -math.Pi
		for m := range 1440 {
			e := place.At(start.Add(time.Duration(m) * time.Minute)).Elevation
			low, high = min(low, e), max(high, e)
		}
		if date == in.Date {
			a["min_elevation_june_deg"] = low / degree
		} else {
			a["max_elevation_dec_deg"] = high / degree
		}
	}
	return a, nil
}

// solstice finds when the sun's longitude is 90°.
func solstice(context.Context, struct{}) (answers, error) {
	start := time.Date(2026, 6, 21, 0, 0, 0, 0, time.UTC)
	h, err := numeric.FindRoot(func(h float64) float64 {
		return sun.ApparentAt(start.Add(time.Duration(h*3600e9))).Longitude - math.Pi/2
	}, -24, 48, 1e-6)
	return answers{"hours_after_00UTC": h}, err
}

func apparentPlace(_ context.Context, in struct{ UTC string }) (answers, error) {
	at, err := time.Parse(time.RFC3339, in.UTC)
	a := sun.ApparentAt(at)
	return answers{"longitude_deg": a.Longitude / degree, "ra_deg": a.RightAscension / degree, "dec_deg": a.Declination / degree,
		"distance_au": a.Distance, "sidereal_deg": a.Sidereal / degree}, err
}

// solarTime is the example's place: 89.4° W in the zone of 90° W at 10:30, eq. 1.5.2.
func solarTime(_ context.Context, in struct{ N float64 }) (answers, error) {
	e := sun.EquationOfTime(in.N) / 60
	return answers{"E_min": e, "solar_time_min": 10*60 + 30 + 4*(90-89.4) + e}, nil
}

// handbookSun is a place, a day or a declination, and an hour angle, in degrees.
type handbookSun struct {
	Phi, Omega, Beta, Gamma float64
	Delta                   *float64
	N                       float64
}

func (in handbookSun) declination() float64 {
	if in.Delta != nil {
		return *in.Delta * degree
	}
	return sun.Declination(in.N)
}

// zenithAzimuth counts azimuths as the handbook does, from south, west positive; profile angle by eq. 1.9.1.
func zenithAzimuth(_ context.Context, in handbookSun) (answers, error) {
	d := in.declination()
	v := sun.Direction(in.Phi*degree, d, in.Omega*degree)
	azimuth := math.Atan2(-v.East, -v.North)
	z := math.Acos(v.Up)
	return answers{"zenith_deg": z / degree, "azimuth_from_south_deg": azimuth / degree, "azimuth_deg": azimuth / degree,
		"omega_s_deg": sun.SunsetAngle(in.Phi*degree, d) / degree,
		"profile_deg": math.Atan(math.Tan(math.Pi/2-z)/math.Cos(azimuth-in.Gamma*degree)) / degree}, nil
}

func beamRatio(ctx context.Context, in handbookSun) (answers, error) {
	got, err := calculate(ctx, "incidence", arg("lat", in.Phi, " deg"), arg("declination", *in.Delta, " deg"), arg("hour_angle", in.Omega, " deg"),
		arg("tilt", in.Beta, " deg"), arg("azimuth", 180+in.Gamma, " deg"))
	return answers{"Rb": got["ratio"]}, err
}

func dailyOutside(ctx context.Context, in struct{ Phi, N, Gsc float64 }) (answers, error) {
	args := []string{arg("lat", in.Phi, " deg"), arg("day", in.N, "")}
	if in.Gsc > 0 {
		args = append(args, arg("solar_constant", in.Gsc, " W/m2"))
	}
	got, err := calculate(ctx, "extraterrestrial", args...)
	return answers{"H0_MJ_m2": got["daily"], "omega_s_deg": got["sunset_angle"]}, err
}

func clearDay(_ context.Context, in struct {
	Phi, N float64
	H      float64 `json:"H_MJ_m2"`
}) (answers, error) {
	h0 := sun.DailyExtraterrestrial(in.Phi*degree, in.N, sun.HandbookConstant) / 1e6
	share := sun.DiffuseOfDay(in.H/h0, sun.SunsetAngle(in.Phi*degree, sun.Declination(in.N)))
	return answers{"H0": h0, "KT": in.H / h0, "Hd_over_H": share, "Hd": share * in.H}, nil
}

// tiltedHour is the hour 9 to 10 before noon, so -45° to -30°, on a plane facing south under an isotropic sky.
func tiltedHour(_ context.Context, in struct {
	Phi, N, Beta float64
	I            float64 `json:"I_MJ_m2"`
	Ground       float64 `json:"rho_g"`
}) (answers, error) {
	const perHour = 1e6 / 3600 // W/m² of 1 MJ/m² in an hour
	lat, d := in.Phi*degree, sun.Declination(in.N)
	from, to := -45*degree, -30*degree
	outside := 12 * 3600 / math.Pi * sun.HandbookConstant * sun.Eccentricity(in.N) / 1e6 *
		(math.Cos(lat)*math.Cos(d)*(math.Sin(to)-math.Sin(from)) + (to-from)*math.Sin(lat)*math.Sin(d)) // eq. 1.10.4
	diffuse := in.I * sun.DiffuseOfHour(in.I/outside)
	beam := in.I - diffuse
	s := sun.Direction(lat, d, (from+to)/2)
	bare := sun.Plane{Tilt: in.Beta * degree, Azimuth: math.Pi}
	ground := bare
	ground.Ground = in.Ground
	on := func(p sun.Plane, global, diffuse float64) float64 {
		return p.Collector().Irradiance(s, global*perHour, diffuse*perHour, 0) / perHour
	}
	return answers{"kT": in.I / outside, "Id": diffuse, "Ib": beam, "Rb": on(bare, beam, 0) / beam, "beam": on(bare, beam, 0),
		"diffuse": on(bare, diffuse, diffuse), "ground": on(ground, in.I, in.I) - on(bare, in.I, in.I), "IT": on(ground, in.I, diffuse)}, nil
}

func hoursOfDay(_ context.Context, in struct{ Phi, N float64 }) (answers, error) {
	ws := sun.SunsetAngle(in.Phi*degree, sun.Declination(in.N))
	a := answers{}
	for key, f := range map[string]func(float64, float64) float64{"rt": sun.HourOfDay, "rd": sun.DiffuseHourOfDay} {
		const parts = 100000
		for i := range parts {
			w := (2*(float64(i)+0.5)/parts - 1) * ws
			a["int_"+key] += f(w, ws) * 2 * ws / parts / (15 * degree)
		}
		for h := range 24 {
			a["sum_"+key+"_hours"] += f((float64(h)-11.5)*15*degree, ws)
		}
	}
	return a, nil
}

// onTilt returns a month's mean day on a plane facing the equator under an isotropic sky, eq. 2.19.1.
func onTilt(lat, day, tilt, h, diffuseShare, ground float64) (total, rb float64) {
	rb = sun.MeanBeamRatio(lat, sun.Declination(day), tilt)
	return h * ((1-diffuseShare)*rb + diffuseShare*(1+math.Cos(tilt))/2 + ground*(1-math.Cos(tilt))/2), rb
}

func tiltedMonth(_ context.Context, in struct {
	Phi, KT, Beta float64
	N             float64 `json:"n_mean_day"`
	Ground        float64 `json:"rho_g"`
}) (answers, error) {
	lat := in.Phi * degree
	h0 := sun.DailyExtraterrestrial(lat, in.N, sun.HandbookConstant) / 1e6
	share := sun.DiffuseOfMonth(in.KT, sun.SunsetAngle(lat, sun.Declination(in.N)))
	total, rb := onTilt(lat, in.N, in.Beta*degree, h0*in.KT, share, in.Ground)
	return answers{"H0": h0, "Hd_over_H": share, "Rb": rb, "HT": total, "HT_kWh": total / 3.6}, nil
}

func tiltedMonths(_ context.Context, in struct {
	Data      string
	Phi, Beta float64
}) (answers, error) {
	columns, err := readColumns(in.Data)
	if err != nil {
		return nil, err
	}
	lat := in.Phi * degree
	a := answers{}
	for i, n := range columns[0] {
		h0 := sun.DailyExtraterrestrial(lat, n, sun.HandbookConstant) / 1e6
		h := columns[2][i]
		share := sun.DiffuseOfMonth(h/h0, sun.SunsetAngle(lat, sun.Declination(n)))
		a["H0_n"+plain(n)] = h0
		a["HT_n"+plain(n)], _ = onTilt(lat, n, in.Beta*degree, h, share, columns[3][i])
	}
	return a, nil
}

// monthsOutside averages the days of each month.
func monthsOutside(_ context.Context, in struct{ Phi, Gsc float64 }) (answers, error) {
	a := answers{}
	day := 1.0
	for m := range 12 {
		days := time.Date(2025, time.Month(m+2), 0, 0, 0, 0, 0, time.UTC).Day()
		for range days {
			a["month"+plain(float64(m+1))] += sun.DailyExtraterrestrial(in.Phi*degree, day, in.Gsc) / 1e6 / float64(days)
			day++
		}
	}
	return a, nil
}

func clearSky(_ context.Context, in struct {
	Zenith float64 `json:"zenith_deg"`
}) (answers, error) {
	return answers{"ghi": sun.ClearSky(math.Cos(in.Zenith * degree))}, nil
}

func airMass(context.Context, struct{}) (answers, error) {
	return answers{"am0": sun.AirMass(0, 0), "am60": sun.AirMass(60*degree, 0), "am90": sun.AirMass(90*degree, 0)}, nil
}
