package frame_test

import (
	"errors"
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/meter"
	"example.org/halfdrop/meter/frame"
	"example.org/halfdrop/meter/guard"
)

// format is what some meter may send, as bytes, and what becomes of it:
//
//	"7.02"           a pH without a temperature
//	"7.02 25.1"      with one, °C
//	"mV -173.2 25.1" a potential
//	"asked: words"   a person has to say something first; the words are in the error
//	"refused: words" it is no reading; the words are in the error
//
// A spec is the dialect that reads it. The lines are our own, after what
// instruments do (common practice, no source).
type format struct {
	what, bytes, want string
	spec              *frame.Spec
}

var formats = []format{
	// One number.
	{"a bare number", "7.02\r\n", "7.02", nil},
	{"three decimals", "7.021\r\n", "7.021", nil},
	{"decimal comma", "7,02\r\n", "7.02", nil},
	{"sign and leading zero", "+07.021\r\n", "7.021", nil},
	{"below zero", "-0.52\r\n", "-0.52", nil},
	{"blanks before it", "     7.02\r\n", "7.02", nil},
	{"CR alone", "7.02\r7.02\r", "7.02", nil},
	{"LF alone", "7.02\n7.02\n", "7.02", nil},
	{"exponent of zero", "+7.02100E+00\n", "7.021", nil},
	{"quotation marks", "\"7.02\"\r\n", "7.02", nil},
	{"a prompt", "> 7.02\r\n", "7.02", nil},
	{"a form feed before each line", "\f7.02\r\n\f7.02\r\n", "7.02", nil},
	{"NUL padding", "7.02\x00\x00\x00\x00\r\n", "7.02", nil},
	{"NUL padding before it", "\x00\x007.02\r\n", "7.02", nil},
	{"XON before each line", "\x117.02\r\n", "7.02", nil},
	{"XOFF behind each line", "7.02\x13\r\n\x117.02\r\n", "7.02", nil},
	{"STX and ETX with CR LF", "\x027.02\x03\r\n", "7.02", nil},
	{"STX and ETX alone", "\x027.02\x03\x027.02\x03", "7.02", nil},
	{"7 bits, even parity", even("7.02 pH\r\n"), "7.02", nil},
	{"7 bits, odd parity", odd("7.02 pH\r\n"), "7.02", nil},
	{"7 bits, mark", marked("7.02 pH\r\n"), "7.02", nil},
	{"one decimal", "7.0\r\n", "asked: nothing says", nil},
	{"a small number with an exponent", "7.020E-03\r\n", "asked: nothing says", nil},
	{"a pH in mol/L", "9.55E-08\r\n", "asked: nothing says", nil},
	{"no decimals", "7\r\n", "asked: nothing says", nil},
	{"a temperature alone", "25.1\r\n", "refused: cannot be a pH", nil},
	{"a pressure", "1013.25\r\n", "refused: cannot be a pH", nil},

	// Two numbers that nobody has named.
	{"pH and °C", "7.02,25.1\r\n", "asked: nothing says", nil},
	{"pH and °C, commas", "7,02;25,1\r\n", "asked: nothing says", nil},
	{"pH and °C, tab", "7.02\t25.1\r\n", "asked: nothing says", nil},
	{"pH and °C, blanks", "7.02   25.1\r\n", "asked: nothing says", nil},
	{"°C and pH", "25.1,7.02\r\n", "asked: nothing says", nil},
	{"mL and pH", "1.250 7.02\r\n", "asked: nothing says", nil},
	{"seconds and pH", "20.5,7.02\r\n21.5,7.02\r\n22.5,7.02\r\n", "asked: nothing says", nil},
	{"pH and mV", "7.02,-1.2\r\n", "asked: nothing says", nil},
	{"pH and °F", "7.02,77.2\r\n", "asked: nothing says", nil},
	{"pH and something hot", "5.24,70.7\r\n", "asked: nothing says", nil},
	{"two that could be either", "5.10,7.02\r\n", "asked: nothing says", nil},
	{"a count and pH", "1,7.02\r\n2,7.02\r\n", "asked: nothing says", nil},
	{"date, pH, °C", "2026-11-25 10:15:03 7.02 25.1\r\n", "asked: nothing says", nil},
	{"pH, mV, °C", "7.02 -1.2 25.1\r\n", "asked: nothing says", nil},
	{"pH, mV, °C, commas", "7.02,-1.2,25.1\r\n", "asked: nothing says", nil},
	{"exponents", "+7.02100E+00,+2.51000E+01\r\n", "asked: nothing says", nil},
	{"conductivity and pH", "1.413 7.02\r\n", "asked: nothing says", nil},
	{"learned: pH, °C", "7.02,25.1\r\n", "7.02 25.1", columns(",", frame.RolePH, frame.RoleC)},
	{"learned: °C, pH", "25.1 7.02\r\n", "7.02 25.1", columns(" ", frame.RoleC, frame.RolePH)},
	{"learned: mL, pH", "1.250 7.02\r\n", "7.02", columns(" ", frame.RoleIgnore, frame.RolePH)},
	{"learned: seconds, pH", "20.5,7.02\r\n", "7.02", columns(",", frame.RoleTime, frame.RolePH)},
	{"learned: pH, mV", "7.02,-1.2\r\n", "7.02", columns(",", frame.RolePH, frame.RoleMV)},
	{"learned: pH, °F", "7.02,77.2\r\n", "7.02 25.11", columns(",", frame.RolePH, frame.RoleF)},
	{"learned: pH, K", "7.02 298.25\r\n", "7.02 25.1", columns(" ", frame.RolePH, frame.RoleK)},
	{"learned: pH, mV, °C", "7.02 -1.2 25.1\r\n", "7.02 25.1", columns(" ", frame.RolePH, frame.RoleMV, frame.RoleC)},
	{"learned, a column more", "7.02 -1.2 25.1 9\r\n", "refused: 4 columns", columns(" ", frame.RolePH, frame.RoleMV, frame.RoleC)},
	{"learned, decimal commas", "7,02;25,1\r\n", "7.02 25.1", &frame.Spec{Name: "m", Separator: ";", Columns: []frame.Role{frame.RolePH, frame.RoleC}, Comma: true}},
	{"learned, channel", "A 7.02 25.1\r\n", "7.02 25.1", columns(" ", frame.RoleChannel, frame.RolePH, frame.RoleC)},
	{"learned, one decimal", "7.0\r\n", "7", columns(",", frame.RolePH)},

	// Labels and units.
	{"label", "pH 7.02\r\n", "7.02", nil},
	{"label with colon", "PH:7.02\r\n", "7.02", nil},
	{"label with equals sign", "pH=7,021\r\n", "7.021", nil},
	{"label glued", "pH7.02\r\n", "7.02", nil},
	{"unit", "7.02 pH\r\n", "7.02", nil},
	{"unit glued", "7.02pH\r\n", "7.02", nil},
	{"label, °C", "pH 7.02 25.1 C\r\n", "7.02 25.1", nil},
	{"label, degree in Latin-1", "pH 7.02 25.1\xb0C\r\n", "7.02 25.1", nil},
	{"label, degree in UTF-8", "pH 7.02 25.1°C\r\n", "7.02 25.1", nil},
	{"label, degree of an old PC", "pH 7.02 25.1\xf8C\r\n", "7.02 25.1", nil},
	{"temperature in brackets", "pH 7.02 (25.1 C)\r\n", "7.02 25.1", nil},
	{"temperature in square brackets", "7.02 pH [25.1 °C]\r\n", "7.02 25.1", nil},
	{"unit in brackets", "T(C): 25.1 pH: 7.02\r\n", "7.02 25.1", nil},
	{"units in columns", "7.02,pH,25.1,C\r\n", "7.02 25.1", nil},
	{"units in columns, stable", "7.02,pH,25.1,C,stable\r\n", "7.02 25.1", nil},
	{"labels in columns", "pH;7,02;Temp;25,1\r\n", "7.02 25.1", nil},
	{"labels", "pH=7.02 T=25.1\r\n", "7.02 25.1", nil},
	{"labels, temperature first", "T=25.1C pH=7.02\r\n", "7.02 25.1", nil},
	{"°C and the rest", "7.02 25.1 C\r\n", "7.02 25.1", nil},
	{"°F", "7.02 pH 77.2 F\r\n", "7.02 25.11", nil},
	{"°F with its sign", "pH 7.02 77.2°F\r\n", "7.02 25.11", nil},
	{"K", "7.02 pH 298.3 K\r\n", "7.02 25.15", nil},
	{"a label and no unit, °F", "T 77.2 pH 7.02\r\n", "7.02", nil},
	{"a label and a number without a name", "pH 7.02 25.1\r\npH 7.02 25.1\r\npH 7.02 25.1\r\n", "7.02", nil},
	{"the same behind a unit", "7.02 pH 77.2\r\n7.02 pH 77.2\r\n7.02 pH 77.2\r\n", "7.02", nil},
	{"a probe that is off", "pH 7.02 -127.0 C\r\n", "7.02", nil},
	{"no probe: dashes", "pH 7.02 --.- C\r\n", "7.02", nil},
	{"ATC", "7.02 pH 25.1 C ATC\r\n", "7.02 25.1", nil},
	{"MTC", "7.02 pH 25.0 C MTC\r\n", "7.02 25", nil},
	{"/A/", "7.02 pH 25.1 C /A/\r\n", "7.02 25.1", nil},
	{"a star", "* 7.02 pH 25.1 C\r\n", "7.02 25.1", nil},
	{"a star behind", "7.02 pH *\r\n", "7.02", nil},
	{"MEAS", "MEAS pH 7.02\r\n", "7.02", nil},
	{"mode", "Mode: pH 7.02\r\n", "7.02", nil},
	{"an identity", "ID:12 pH:7.02\r\n", "7.02", nil},
	{"a sample", "Sample 12, pH 7.02, 25.1 C\r\n", "7.02 25.1", nil},
	{"ready", "ready 7.02 pH\r\n", "7.02", nil},
	{"a balance's way", "ST,+07.021,pH\r\n", "7.021", nil},
	{"a balance's way, moving", "US,+07.021,pH\r\n", "7.021", nil},
	{"fixed width", "       7.021 pH     25.1 C\r\n", "7.021 25.1", nil},
	{"colon behind pH and blanks", "pH  :   7.02\r\n", "7.02", nil},
	{"slope in percent behind", "7.02 pH 25.1 C 95.2%\r\n", "7.02 25.1", nil},
	{"slope in percent with a blank", "pH 7.02 25.1 C 95.2 %\r\n", "7.02 25.1", nil},
	{"slope by name", "pH 7.02 25.1 C Slope 95.2 %\r\n", "7.02 25.1", nil},
	{"pH label of two words", "pH value: 7.02\r\n", "7.02", nil},
	{"over", "pH OVER 25.1 C\r\n", "no number", nil},
	{"no electrode", "pH no electrode\r\n", "no number", nil},
	{"dashes", "pH --.--\r\n", "refused: shows no value", nil},
	{"70.2", "pH 70.2\r\n", "refused: cannot be a pH", nil},
	{"hold", "pH 7.02 hold\r\n", "refused: on hold", nil},
	{"either", "7.02 pH 5.11\r\n", "asked: two ways", nil},

	// mV.
	{"mV", "-173.2 mV\r\n", "mV -173.2", nil},
	{"mV label", "mV:+0012.4\r\n", "mV 12.4", nil},
	{"mV, °C", "-173.2 mV 25.1 C\r\n", "mV -173.2 25.1", nil},
	{"mV and a number without a name", strings.Repeat("mV -173.2 25.1\r\n", 3), "mV -173.2", nil},
	{"mV and what cannot be its pH", strings.Repeat("mV -173.2 5.00\r\n", 3), "mV -173.2", nil},
	{"mV between two numbers", "-173.2 mV 25.1\r\n", "asked: two ways", nil},
	{"pH, mV", "7.02 pH -1.2 mV\r\n", "7.02", nil},
	{"pH, mV, °C", "7.02 pH -1.2 mV 25.1 C\r\n", "7.02 25.1", nil},
	{"pH, mV, labels", "pH=7.02;mV=-1.2;T=25.1\r\n", "7.02 25.1", nil},
	{"a number and its mV", "7.02;-1.2 mV\r\n", "7.02", nil},
	{"volt", "-0.1732 V\r\n", "refused: neither pH nor mV", nil},

	// Other quantities beside.
	{"ORP", "pH 7.02 ORP 215 mV\r\n", "7.02", nil},
	{"ORP behind its number", "7.02 pH 215 mV ORP 25.1 C\r\n", "7.02 25.1", nil},
	{"conductivity", "7.02 pH 1.413 mS/cm 25.1 C\r\n", "7.02 25.1", nil},
	{"conductivity, micro", "pH 7.02, EC 1413 \xb5S/cm, 25.1 C\r\n", "7.02 25.1", nil},
	{"dissolved oxygen", "pH: 7.02  DO: 8.21 mg/L  T: 21.4 C\r\n", "7.02 21.4", nil},
	{"oxygen alone", "8.21 mg/L 21.4 C\r\n", "refused: neither pH nor mV", nil},
	{"conductivity and a bare number", "7.02 1.413 mS/cm\r\n", "asked: nothing says", nil},
	{"a balance", "weight 12.0021 g\r\n", "refused: not known", nil},
	{"ORP alone", "ORP 215 mV\r\n", "refused: neither pH nor mV", nil},

	// Dates.
	{"ISO date", "2026-11-25T10:15:03Z pH 7.02 25.1 C\r\n", "7.02 25.1", nil},
	{"day first", "25.11.2026 10:15:03 7.02 pH\r\n", "7.02", nil},
	{"American date, AM", "11/25/26 10:15:03 AM 7.02 pH 25.1 C\r\n", "7.02 25.1", nil},
	{"month by name", "25-Nov-2026 10:15:03 pH 7.02\r\n", "7.02", nil},
	{"month by name, two digits of a year", "25-NOV-26 10:15 pH 7.02 25.1 C\r\n", "7.02 25.1", nil},
	{"month first", "Nov 25, 2026 10:15:03 7.02 pH\r\n", "7.02", nil},
	{"weekday", "Wed 25 Nov 2026 10:15:03 7.02 pH\r\n", "7.02", nil},
	{"month of another language", "25. Dez. 2026 10:15 pH 7,02\r\n", "7.02", nil},
	{"month with an accent", "25 août 2026 10:15 pH 7,02\r\n", "7.02", nil},
	{"labels of date and time", "Date: 25/11/2026 Time: 10:15:03 pH: 7.02\r\n", "7.02", nil},
	{"date behind", "7.02 pH 25.1 C 25/11/2026 10:15\r\n", "7.02 25.1", nil},
	{"number, date and all", "0042,11/25/26,10:15:03 AM,7.02,pH,-1.2,mV,25.1,C\r\n", "7.02 25.1", nil},
	{"time and a bare number", "10:15:03\t7.02\r\n", "7.02", nil},

	// Words of other languages.
	{"German", "pH-Wert: 7,02  Temperatur: 25,1 °C  stabil\r\n", "7.02 25.1", nil},
	{"German, degrees in a word", "Messwert 7,02 pH 25,1 Grad C\r\n", "7.02 25.1", nil},
	{"degrees cut short", "pH 7.02 25.1 gr. C\r\n", "7.02 25.1", nil},
	{"Polish", "Odczyn pH 7,02  temperatura 25,1 st. C  stabilny\r\n", "7.02 25.1", nil},
	{"a process variable", "PV 7.02 pH 25.1 degC\r\n", "7.02 25.1", nil},
	{"German, not stable", "Messwert 7,02 pH 25,1 °C instabil\r\n", "7.02 25.1", nil},
	{"French in UTF-8", "pH 7,02  Température 25,1 °C  stable\r\n", "7.02 25.1", nil},
	{"French in Latin-1", "pH 7,02  Temp\xe9rature 25,1 \xb0C\r\n", "7.02 25.1", nil},
	{"Spanish", "pH 7,02 Temperatura 25,1 °C estable\r\n", "7.02 25.1", nil},
	{"Dutch", "pH 7,02 temperatuur 25,1 °C onstabiel\r\n", "7.02 25.1", nil},
	{"Finnish, mapped", "pH 7,02 lämpötila 25,1 °C\r\n", "7.02 25.1", &frame.Spec{Name: "m", Words: map[string]string{"lämpötila": "temperature"}}},
	{"Finnish, not mapped", "pH 7,02 lämpötila 25,1 °C\r\n", "refused: not known", nil},
	{"months, mapped", "25 tammi 2026 pH 7,02\r\n", "7.02", &frame.Spec{Name: "m", Months: strings.Fields("tammi helmi maalis huhti touko kesä heinä elo syys loka marras joulu")}},

	// Channels.
	{"one channel", "CH1 pH 7.02 25.1 C\r\n", "7.02 25.1", nil},
	{"two channels", "CH1 7.02\r\nCH2 6.50\r\nCH1 7.02\r\nCH2 6.50\r\n", "asked: channel", nil},
	{"two channels on a line", "pH1 7.02 pH2 6.50\r\n", "asked: channel", nil},
	{"two channels, numbers in front", "1,7.02,pH\r\n2,6.50,pH\r\n1,7.02,pH\r\n", "asked: channel", nil},
	{"one of two, by a dialect", "CH1 7.02\r\nCH2 6.50\r\nCH1 7.02\r\n", "7.02", &frame.Spec{Name: "m", Channel: "1"}},
	{"a channel by a pattern", "b=7.02\r\na=6.50\r\n", "7.02", &frame.Spec{Name: "m", Pattern: `(?P<channel>[ab])=(?P<ph>[\d.]+)`, Channel: "b"}},
	{"a count", "#2: 7.02 pH\r\n", "7.02", nil},

	// Calibrations.
	{"calibration heading", "CALIBRATION\r\npH 7.00 25.0 C\r\npH 4.01 25.0 C\r\n", "refused: calibration", nil},
	{"buffers", "Buffer 1: pH 7.00 -1.2 mV\r\nBuffer 2: pH 4.01 171.2 mV\r\n", "refused: calibration", nil},
	{"buffer in German", "Puffer 7,00 Steilheit 98,2 %\r\n", "refused: calibration", nil},
	{"standards", "STD 7.00 25.0 C\r\n", "refused: calibration", nil},
	{"offset", "Offset -3.2 mV\r\n", "refused: calibration", nil},

	// A display that was stopped by a key does not follow the beaker.
	{"on hold", "pH 7.02 22.0 C HOLD\r\n", "refused: on hold", nil},
	{"on hold, decimal comma", "HOLD 7,02 pH 22,0 C\r\n", "refused: on hold", nil},
	{"on hold by itself", "7.02 pH 22.1 C AUTO HOLD\r\n", "refused: on hold", nil},
	{"frozen", "7.02 pH 22.1 C FROZEN\r\n", "refused: on hold", nil},

	// JSON, sentences, answers.
	{"JSON", `{"ph":7.02,"temp_c":25.1}` + "\n", "7.02 25.1", nil},
	{"JSON, °F", `{"ph":7.02,"temp_f":77.2}` + "\n", "7.02 25.11", nil},
	{"JSON, value and unit", `{"value":7.02,"unit":"pH"}` + "\n", "7.02", nil},
	{"JSON, two channels", `{"ch":1,"ph":7.02}` + "\n" + `{"ch":2,"ph":6.50}` + "\n" + `{"ch":1,"ph":7.02}` + "\n", "asked: channel", nil},
	{"JSON without pH", `{"temp":25.1}` + "\n", "refused: without ph or mv", nil},
	{"a sentence", summed("XXPHM,7.021,pH,25.1,C"), "7.021 25.1", nil},
	{"a sentence, a number without a name", strings.Repeat(summed("XXPHM,7.021,25.1"), 3), "7.021", nil},
	{"a sentence, damaged", "$XXPHM,7.021,25.1*00\r\n", "refused: checksum", nil},
	{"an answer", ":MEAS:PH 7.021;:MEAS:TEMP 25.1\n", "7.021 25.1", nil},
	{"over, as an answer", "PH 9.9E37\n", "no number", nil},

	// Checksums, control bytes, terminators, records, with what a dialect can do.
	{"a star and a checksum", starred("7.02 pH 25.1 C"), "7.02 25.1", nil},
	{"a star and a wrong checksum", "7.02 pH 25.1 C*00\r\n", "refused: checksum", nil},
	{"a checksum without a star", "7.02 pH 25.1 C 3F\r\n", "refused: called temperature", nil},
	{"the same, by a dialect", fmt.Sprintf("7.02 pH 25.1 C %02X\r\n", frame.Checksum("7.02 pH 25.1 C")), "7.02 25.1", &frame.Spec{Name: "m", Checksum: "xor", SumAfter: " "}},
	{"a sum, by a dialect", added("7.02 pH"), "7.02", &frame.Spec{Name: "m", Checksum: "sum"}},
	{"a sum, damaged", strings.Replace(added("7.02 pH"), "0", "1", 1), "refused: checksum", &frame.Spec{Name: "m", Checksum: "sum"}},
	{"XON inside", "7.02\x11 pH\r\n", "refused: control byte", nil},
	{"XON inside, dropped", "7.02\x11 pH\r\n", "7.02", &frame.Spec{Name: "m", Drop: []string{"XON", "XOFF"}}},
	{"NUL inside, dropped", "7.\x0002 pH\r\n", "7.02", &frame.Spec{Name: "m", Drop: []string{"NUL"}}},
	{"bell, dropped", "\a7.02 pH\r\n", "7.02", &frame.Spec{Name: "m", Drop: []string{"BEL"}}},
	{"escape sequence", "\x1b[1m7.02 pH\r\n", "refused: control byte", nil},
	{"wrong speed", "\xf8\x00\x80\xe6\x00\x98\r\n", "refused: not text", nil},
	{"a record of a printer", "-----\r\nNo. 7\r\n25-Nov-2026\r\npH 7.02 25.1 C\r\n", "7.02 25.1", nil},
	{"a record in three lines", "No. 7\r\nvalue 7.02\r\nunit x\r\n", "7.02", &frame.Spec{Name: "m", JoinLines: 3, Pattern: `No\. \d+ value (?P<ph>[\d.]+) unit x`}},
	{"a record from a line to a line", "xx\r\n== begin\r\npH 7.02\r\nT 25.1\r\n== end\r\nyy\r\n", "7.02 25.1", &frame.Spec{Name: "m", JoinFrom: "^== begin", JoinTo: "^== end", Pattern: `== begin pH (?P<ph>[\d.]+) T (?P<temp>[\d.]+) == end`}},
	{"lines to skip", "# comment\r\n7.02 pH\r\n", "7.02", &frame.Spec{Name: "m", Skip: []string{"^#"}}},
	{"a pattern", "R7,02/25,1\r\n", "7.02 25.1", &frame.Spec{Name: "m", Pattern: `R(?P<ph>\d+,\d+)/(?P<temp>\d+,\d)`, Comma: true}},
	{"a pattern, °F", "7.02/77.2\r\n", "7.02 25.11", &frame.Spec{Name: "m", Pattern: `(?P<ph>[\d.]+)/(?P<temp>[\d.]+)`, TempUnit: "F"}},
	{"not in the pattern", "7.02\r\n", "refused: not in the dialect", &frame.Spec{Name: "m", Pattern: `R(?P<ph>\d+)`}},
	{"two lines run together", "pH 7.0pH 7.02\r\n", "refused: ", nil},
	{"an open quotation mark", "\"7.02\r\n", "refused: quotation", nil},
	{"an empty field", "7.02,,pH\r\n", "refused: ", nil},
	{"far too long", strings.Repeat("7.02 pH ", 40) + "\r\n", "refused: longer", nil},
}

func columns(sep string, roles ...frame.Role) *frame.Spec {
	return &frame.Spec{Name: "m", Separator: sep, Columns: roles}
}

// added is a line with the sum of its bytes behind it.
func added(body string) string {
	var sum byte
	for i := range len(body) {
		sum += body[i]
	}
	return fmt.Sprintf("%s%02X\r\n", body, sum)
}

func starred(body string) string { return fmt.Sprintf("%s*%02X\r\n", body, frame.Checksum(body)) }

// TestFormats is the table of formats: every one is read as what it is, asked
// about, or refused with what to do.
func TestFormats(t *testing.T) {
	tally := map[string]int{}
	for _, f := range formats {
		t.Run(f.what, func(t *testing.T) { tally[f.run(t)]++ })
	}
	assert.GreaterOrEqual(t, len(formats), 150)
	t.Logf("%d formats: %d read, %d asked, %d refused", len(formats), tally["read"], tally["asked"], tally["refused"])
}

func (f format) run(t *testing.T) string {
	var d *frame.Dialect
	j := guard.Judge{}
	if f.spec != nil {
		var err error
		if d, err = frame.NewDialect(*f.spec); !assert.NoError(t, err) {
			return ""
		}
		j.Channel = f.spec.Channel
	}
	var got []string
	var last error
	r, buf, at := d.Reader(), []byte(f.bytes), start
	for len(buf) > 0 {
		line, n := frame.Cut(buf, "")
		if !assert.Positive(t, n, "%q does not end", buf) {
			return ""
		}
		buf, at = buf[n:], at.Add(100*time.Millisecond)
		if frame.Blank(line) {
			continue
		}
		res, err := r.Read(line)
		if errors.Is(err, frame.ErrSkip) || errors.Is(err, frame.ErrMore) {
			continue
		}
		if res, err = j.Take(at, res, err); err != nil {
			if !errors.Is(err, guard.ErrOther) {
				last = err
			}
			assert.NotEmpty(t, guard.Remedy(err))
			continue
		}
		got = append(got, said(res.Reading))
	}
	kind, words, _ := strings.Cut(f.want, ": ")
	if kind != "asked" && kind != "refused" {
		assert.NotEmpty(t, got, "%v", last)
		for _, g := range got {
			assert.Equal(t, f.want, g)
		}
		return "read"
	}
	assert.ErrorContains(t, last, words)
	most := 0
	if strings.Contains(f.want, "channel") {
		most = 1 // the first line of the first channel
	}
	assert.LessOrEqual(t, len(got), most, "%v", got)
	return kind
}

// said is a reading in the words of the table. A temperature counts also while
// it is watched.
func said(r meter.Reading) string {
	if !r.Usable() {
		return "no number"
	}
	s := fmt.Sprintf("%g", r.Value)
	if r.Quantity == meter.Millivolt {
		s = "mV " + s
	}
	if r.HasTemp || r.Flags.Has(meter.NoTemp) && r.TempC <= frame.MaxTemp {
		s += fmt.Sprintf(" %g", r.TempC)
	}
	return s
}
