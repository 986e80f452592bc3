package caution

// Where a limit comes from.
const (
	practice = "common practice, no source"
	recalled = "from memory: "
	shs      = "quality standards for solar home systems, GTZ, 2000"
	dunlop   = "J. P. Dunlop, Batteries and Charge Control in Stand-Alone PV Systems, FSEC-CR-1292, 1997; figures from memory"
)

// checks are all that is looked at, in the order in which it is told.
var checks = []check{
	{"converter-saturates", "setpoint", "follows from the values", true, saturates},
	{"lfp-compensated", "setpoint", practice, true, lfpCompensated},
	{"lfp-absorption", "setpoint", practice, true, lfpAbsorption},
	{"lfp-cold", "setpoint", practice, true, lfpCold},
	{"equalised", "setpoint", practice, true, equalised},
	{"equalise-high", "setpoint", practice, false, equaliseHigh},
	{"charge-level", "setpoint", dunlop, false, chargeLevel},
	{"float-level", "setpoint", practice, false, floatLevel},
	{"compensation-slope", "setpoint", shs + " asks for -3 to -5 mV/K a cell; the wider limits are common practice", false, slope},
	{"compensated-level", "setpoint", practice, false, compensatedRange},
	{"load-levels", "setpoint", practice, false, loadLevels},
	{"hysteresis", "setpoint", practice, false, hysteresis},
	{"pwm-frequency", "setpoint", practice, false, frequency},
	{"pwm-ripple", "setpoint", practice, false, ripple},
	{"divider-impedance", "setpoint", practice, false, dividerImpedance},
	{"sensor-on-board", "setpoint", practice, false, sensorOnBoard},
	{"battery-lead", "setpoint", practice, false, batteryLead},

	{"no-fuse", "fault", practice, true, noFuse},
	{"fuse-place", "fault", practice, true, fusePlace},
	{"fuse-rating", "rating", practice, false, fuseRating},
	{"fuse-voltage", "fault", practice, true, fuseVoltage},
	{"no-blocking-diode", "fault", practice, true, noBlocking},
	{"common-positive", "fault", practice, false, commonPositive},
	{"reverse-voltage", "fault", practice, false, blockingVoltage},
	{"clamped-voltage", "fault", practice, false, clampedVoltage},
	{"clamp-standoff", "fault", practice, false, clampStandoff},
	{"supply-input", "fault", practice, false, supplyInput},
	{"gate-drive", "rating", practice, false, gateDrive},
	{"part-current", "rating", practice, false, partCurrent},
	{"standby", "rating", shs, false, standby},

	{"fill-factor", "charge", practice, false, fillFactor},
	{"peak-point", "charge", practice, false, peakPoint},
	{"label-power", "charge", practice, false, labelPower},
	{"cell-voltage", "charge", practice, false, cellVoltage},
	{"panel-efficiency", "charge", practice, false, panelEfficiency},
	{"panel-drifts", "charge", practice, false, panelDrifts},
	{"panel-noct", "charge", practice, false, panelNOCT},
	{"panel-voltage", "charge", practice, false, panelVoltage},
	{"panel-current", "rating", "US National Electrical Code, 690.8(A): 1.25", false, panelCurrent},
	{"charge-current", "charge", practice, false, chargeCurrent},
	{"battery-fits", "charge", practice, false, batteryFits},
	{"panel-lead", "charge", practice, false, panelLead},
	{"panel-faces", "charge", "follows from the values", false, facing},
	{"yearly-sun", "charge", practice, false, yearlySun},
	{"ventilation", "charge", recalled + "the form of IEC 62485-2", true, ventilation},

	{"meter-too-coarse", "bench", practice, false, meterTooCoarse},
	{"meter-unchecked", "bench", practice, false, meterUnchecked},
	{"meter-range", "bench", "follows from the values", false, meterRange},

	{"minutes", "production", practice, false, minutes},
	{"yields", "production", practice, false, yields},
	{"materials", "production", practice, false, materials},
	{"channel-shares", "accounts", "follows from the values", false, shares},
	{"channel-fees", "accounts", practice, false, fees},
	{"order-of-events", "returns", "follows from the values", false, order},
}
