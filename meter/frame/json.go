package frame

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"maps"
	"slices"
	"strings"

	"example.org/halfdrop/meter"
)

func isImpossible(err error) bool { return errors.Is(err, meter.ErrImpossible) }

// object reads a JSON object (RFC 8259) with keys such as ph, mv, temp, or a
// value with its unit. An object with a key twice, or with anything after it,
// is no reading.
func object(s string) (Result, error) {
	fields, err := members(s)
	if err != nil {
		return Result{}, fmt.Errorf("%w: %w", meter.ErrNotReading, err)
	}
	v := value{shape: "JSON object", loose: true}
	for _, key := range slices.Sorted(maps.Keys(fields)) { // in order: what a line says is the same each time
		if err := v.member(key, fields[key], fields); err != nil {
			return Result{}, err
		}
	}
	if !v.hasPH && !v.hasMV {
		return Result{}, fmt.Errorf("%w: an object without ph or mv", meter.ErrNotReading)
	}
	r, err := v.result()
	r.Reading.Channel = v.channel
	return r, err
}

// members decodes an object into its members, keys in lower case.
func members(s string) (map[string]json.RawMessage, error) {
	d := json.NewDecoder(strings.NewReader(s))
	if t, err := d.Token(); err != nil || t != json.Delim('{') {
		return nil, errors.New("not a JSON object")
	}
	fields := map[string]json.RawMessage{}
	for d.More() {
		t, err := d.Token()
		if err != nil {
			return nil, err
		}
		name, _ := t.(string)
		key := strings.ToLower(name)
		if _, twice := fields[key]; twice {
			return nil, fmt.Errorf("key %q twice", key)
		}
		var raw json.RawMessage
		if err := d.Decode(&raw); err != nil {
			return nil, err
		}
		fields[key] = raw
	}
	if _, err := d.Token(); err != nil {
		return nil, err
	}
	if _, err := d.Token(); err != io.EOF {
		return nil, errors.New("more after the object")
	}
	return fields, nil
}

// member takes one member of an object. Unknown keys are passed over.
func (v *value) member(key string, raw json.RawMessage, all map[string]json.RawMessage) error {
	switch key {
	case "value", "reading":
		key = strings.ToLower(strings.Trim(string(all["unit"]), `"`))
	case "unit":
		return nil
	}
	switch key {
	case "ph":
		return set(&v.ph, &v.hasPH, raw)
	case "mv", "millivolt":
		return set(&v.mv, &v.hasMV, raw)
	case "temp", "temperature", "temp_c", "t_c", "celsius", "temp_f", "t_f", "fahrenheit", "temp_k", "t_k", "kelvin":
		if string(raw) == "null" {
			return nil
		}
		v.unit = jsonUnits[key]
		return set(&v.temp, &v.hasTemp, raw)
	case "ch", "channel":
		v.channel = strings.Trim(string(raw), `"`)
	case "stable":
		return v.stable(raw)
	case "status", "state":
		return v.status(raw)
	}
	return nil
}

// jsonUnits are the units of the temperature by its key; keys without one say nothing.
var jsonUnits = map[string]string{"temp_c": "C", "t_c": "C", "celsius": "C", "temp_f": "F", "t_f": "F", "fahrenheit": "F",
	"temp_k": "K", "t_k": "K", "kelvin": "K"}

// set stores a number that no other member may have set before.
func set(to *token, has *bool, raw json.RawMessage) (err error) {
	if *has {
		return fmt.Errorf("%w: two members say the same", meter.ErrNotReading)
	}
	*has = true
	*to, err = jsonNumber(raw)
	return err
}

func (v *value) stable(raw json.RawMessage) error {
	switch string(raw) {
	case "true", "1":
		v.flags |= meter.Stable
	case "false", "0":
		v.flags |= meter.Unstable
	default:
		return fmt.Errorf("%w: stable is %s", meter.ErrNotReading, raw)
	}
	return nil
}

// status takes a word about the reading; words that are not known are passed over.
func (v *value) status(raw json.RawMessage) error {
	var s string
	if err := json.Unmarshal(raw, &s); err != nil {
		return fmt.Errorf("%w: status is %s", meter.ErrNotReading, raw)
	}
	v.flags |= words[strings.ToLower(s)].flags
	return nil
}

// jsonNumber reads a number, an object {"value": number}, or the word for a
// range. A number in quotation marks is taken as well.
func jsonNumber(raw json.RawMessage) (token, error) {
	s := strings.Trim(string(raw), `"`)
	if strings.HasPrefix(s, "{") {
		inner, err := members(s)
		if err != nil {
			return token{}, fmt.Errorf("%w: %w", meter.ErrNotReading, err)
		}
		return jsonNumber(inner["value"])
	}
	if s == "null" {
		return token{kind: tokNoValue}, nil
	}
	tokens, err := lex(s, '.')
	if err != nil || len(tokens) != 1 || !tokens[0].isNumber() {
		return token{}, fmt.Errorf("%w: %s is not a number", meter.ErrNotReading, head(s))
	}
	return tokens[0], nil
}
