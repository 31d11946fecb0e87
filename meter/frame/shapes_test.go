package frame_test

import (
	"fmt"
	"math"
	"strings"

	"example.org/halfdrop/meter"
	"example.org/halfdrop/meter/frame"
)

// none stands for no mV and no temperature in the captures.
var none = math.NaN()

// capture is a line as bytes, its terminator included, and what it says. The
// lines are our own, made after the shapes that instruments use (common
// practice, no source). To add one from a meter: `halfdrop ports --listen NAME`.
type capture struct {
	bytes        string
	ph, mv, temp float64
	decimals     int
	flags        meter.Flags
}

var captures = []capture{
	{"7.021\r\n", 7.021, none, none, 3, 0},
	{"  7.02\r", 7.02, none, none, 2, 0},
	{"+07.021\n", 7.021, none, none, 3, 0},
	{"-0.52\r\n", -0.52, none, none, 2, 0},
	{"7,02\r\n", 7.02, none, none, 2, 0},
	{"pH 7.02\r\n", 7.02, none, none, 2, 0},
	{"PH:7.02\n", 7.02, none, none, 2, 0},
	{"pH=7,021\r\n", 7.021, none, none, 3, 0},
	{"+07.021 pH\r\n", 7.021, none, none, 3, 0},
	{"7.02pH\r\n", 7.02, none, none, 2, 0},
	{"7.02 25.1 C\r\n", 7.02, none, 25.1, 2, 0},
	{"25.1 \xc2\xb0C 7.02\r\n", 7.02, none, 25.1, 2, 0},
	{"pH 7.021 25.1 C\r\n", 7.021, none, 25.1, 3, 0},
	{"pH 7.021 25.1\xb0C\r\n", 7.021, none, 25.1, 3, 0},
	{"pH 7.021  25.1 \xf8C ATC\r\n", 7.021, none, 25.1, 3, 0},
	{"7.02 pH, 25.1 degC\r\n", 7.02, none, 25.1, 2, 0},
	{"7.02,pH,25.1,C,stable\r\n", 7.02, none, 25.1, 2, meter.Stable},
	{"T 25.1 pH 7.02\r\n", 7.02, none, 25.1, 2, 0},
	{"PV 7.02 pH 25.1 Grad C\r\n", 7.02, none, 25.1, 2, 0},
	{"odczyn ph 7,02 temp. 25,1 st.C stabilny\r\n", 7.02, none, 25.1, 2, meter.Stable},
	{"T=25.1C pH=7.02\r\n", 7.02, none, 25.1, 2, 0},
	{"pH=7.02;T=25.1\r\n", 7.02, none, 25.1, 2, 0},
	{"pH:  7.02  Temp: 21.4 deg C MTC\r\n", 7.02, none, 21.4, 2, meter.TempByHand},
	{"-173.2 mV\r\n", none, -173.2, none, 1, 0},
	{"mV:+0012.4\r\n", none, 12.4, none, 1, 0},
	{"-173.2 mV 25.1 C unstable\r\n", none, -173.2, 25.1, 1, meter.Unstable},
	{"7.02 pH -1.2 mV 25.1 C ATC\r\n", 7.02, -1.2, 25.1, 2, 0},
	{"7,02 pH; -1,2 mV; 25,1 C\r\n", 7.02, -1.2, 25.1, 2, 0},
	{"pH=7.02,mV=-1.2,T=25.1\r\n", 7.02, -1.2, 25.1, 2, 0},
	{"2026-11-25 10:15:03 7.02 25.1 C\r\n", 7.02, none, 25.1, 2, 0},
	{"2026-11-25T10:15:03Z,7.021,pH,25.1,C,ATC,unstable\r\n", 7.021, none, 25.1, 3, meter.Unstable},
	{"0042,11/25/26,10:15:03 AM,7.02,pH,-1.2,mV,25.1,C\r\n", 7.02, -1.2, 25.1, 2, 0},
	{"CH1 pH 7.02 25.1 C\r\n", 7.02, none, 25.1, 2, 0},
	{"#2: 7.02 pH\r\n", 7.02, none, none, 2, 0},
	{"ST,+07.021,pH\r\n", 7.021, none, none, 3, meter.Stable},
	{"US    +   7.021 pH    \r\n", 7.021, none, none, 3, meter.Unstable}, // fixed width, 22 places
	{"       7.021 pH     25.1 C\r\n", 7.021, none, 25.1, 3, 0},          // fixed width
	{"\x02pH 07.02 +25.1 C\x03\r\n", 7.02, none, 25.1, 2, 0},
	{"pH 14.00 25.1 C over\r\n", 14, none, 25.1, 2, meter.OverRange},
	{"pH OVER 25.1 C\r\n", none, none, 25.1, 0, meter.OverRange},
	{"pH under range\r\n", none, none, none, 0, meter.UnderRange},
	{"pH no electrode\r\n", none, none, none, 0, meter.NoProbe},
	{`{"ph":7.021,"temp":25.1,"stable":true}` + "\r\n", 7.021, none, 25.1, 3, meter.Stable},
	{`{"pH": {"value": 7.02}, "mV": -1.2, "temp_c": 25}` + "\n", 7.02, -1.2, 25, 2, 0},
	{`{"value":7,"unit":"pH","temperature":null}` + "\n", 7, none, none, 0, 0},
	{summed("XXPHM,7.021,25.1"), 7.021, none, none, 3, meter.Unnamed},
	{odd("7.02 pH 25.1 C\r\n"), 7.02, none, 25.1, 2, 0},
	{"25.11.2026;10:15:03;pH;7,02;25,1\r\n", 7.02, none, none, 2, meter.Unnamed},
	{summed("XXMTR,7.021,pH,25.1,C,stable"), 7.021, none, 25.1, 3, meter.Stable},
	{"+7.02100E+00\n", 7.021, none, none, 5, 0},
	{":MEAS:PH 7.021;:MEAS:TEMP 25.1\n", 7.021, none, 25.1, 3, 0},
	{"PH 7.021;TEMP 25.1\n", 7.021, none, 25.1, 3, 0},
	{"PH 9.9E37\n", none, none, none, 0, meter.OverRange},
	{even("pH 7.02 25.1 C\r\n"), 7.02, none, 25.1, 2, 0},
	{marked("+07.021 pH\r\n"), 7.021, none, none, 3, 0},
}

func summed(body string) string {
	return fmt.Sprintf("$%s*%02X\r\n", body, frame.Checksum(body))
}

// even, odd and marked are a line sent with 7 bits and a parity, received as 8 bits.
func even(s string) string   { return topped(s, func(ones int) bool { return ones%2 == 1 }) }
func odd(s string) string    { return topped(s, func(ones int) bool { return ones%2 == 0 }) }
func marked(s string) string { return topped(s, func(int) bool { return true }) }

func topped(s string, top func(ones int) bool) string {
	b := []byte(s)
	for i, c := range b {
		if top(strings.Count(fmt.Sprintf("%b", c), "1")) {
			b[i] |= 0x80
		}
	}
	return string(b)
}
