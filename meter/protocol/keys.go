package protocol

import (
	"regexp"
	"strings"
)

// The words of a run name the keys of the screen. A line has no keys: it is told what to send.

// phrases are those in which a key is no word of an answer, or another one than elsewhere.
var phrases = strings.NewReplacer(
	"Enter if it is still moving, s once it is steady", `"typed":true while it is still moving, with "stands":true once it is steady`,
	"type it and s", `type it, with "stands":true`,
	"then the value and s", `then the value, with "stands":true`,
	"Enter when it is in again, c takes the value, Esc ends the check", `"check":"in" when it is in again, "check":"take" takes the value, "check":"stop" ends the check`,
	"Enter when it is in, Esc ends the check", `"check":"in" when it is in, "check":"stop" ends the check`,
	"Enter when it is back", `"immersed":true when it is back`,
	"or c takes the value", `or "check":"take" takes the value`,
	"k checks it", `"check":true checks it`,
	"q ends the run", "the end of the lines ends the run",
	"press i", `send "immersed":true`,
	", such as 1.2m", "",
	"t: other bottle", `"added" with its name: other bottle`,
	"t: from another bottle", `"added" with its name: from another bottle`,
)

// aKey is a key that is named as an answer: "c: it is as planned", "Enter if it was given".
var aKey = regexp.MustCompile(`(^|[ (])(Enter|[cgiknuy+])(: | (?:when|if|withdraws|adds|a stronger|a weaker)\b)`)

// inLines is what is sent in a line for a key.
var inLines = map[string]string{
	"Enter": `"added"`, "c": `"confirm":true`, "y": `"confirm":"CODE"`, "n": `"declined":true`, "g": `"go_on":true`,
	"i": `"immersed":true`, "u": `"undo":true`, "k": `"check":true`, "+": `"bottle":{…}`,
}

// told is what a run says, with what is to be sent in place of the keys.
func told(why string) string {
	return aKey.ReplaceAllStringFunc(phrases.Replace(why), func(m string) string {
		p := aKey.FindStringSubmatch(m)
		return p[1] + inLines[p[2]] + p[3]
	})
}
