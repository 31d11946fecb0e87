package shelf

import (
	"errors"
	"fmt"
	"io/fs"
	"slices"
	"strings"
	"time"

	"example.org/halfdrop/meter/remedy"
	"example.org/halfdrop/meter/textfile"
)

// Dropper is a dropper as it was measured.
type Dropper struct {
	Name      string    `toml:"name" json:"name"`
	DropUL    float64   `toml:"drop_ul" json:"drop_ul"`
	DropSDPct float64   `toml:"drop_sd_pct" json:"drop_sd_pct"`
	Drops     int       `toml:"drops" json:"drops"`
	Grams     []float64 `toml:"grams" json:"grams"`
	Density   float64   `toml:"density_g_per_ml" json:"density_g_per_ml"`
	Liquid    string    `toml:"liquid" json:"liquid"`
	Measured  time.Time `toml:"measured" json:"measured"`
}

// Droppers is the file of droppers.
type Droppers struct {
	Dropper []Dropper `toml:"dropper"`
}

// DropperFile is where measured droppers are kept.
func DropperFile() (string, error) { return inData("droppers.toml") }

// ReadDroppers are the droppers that were measured, none where there is no file, and the
// file.
func ReadDroppers() (list Droppers, path string, err error) {
	if path, err = DropperFile(); err != nil {
		return
	}
	data, err := textfile.Read(path, textfile.MaxConfig)
	if errors.Is(err, fs.ErrNotExist) {
		return list, path, nil
	}
	if err != nil {
		return list, path, err
	}
	if err := textfile.Decode(path, data, &list); err != nil {
		return list, path, remedy.With(err, "correct the file, or move it away and measure the droppers again")
	}
	for _, d := range list.Dropper {
		if !(d.DropUL >= 1 && d.DropUL <= 500 && d.DropSDPct >= 0.1 && d.DropSDPct <= 60) {
			return list, path, remedy.With(fmt.Errorf("%s: dropper %q: a drop of %g µL ± %g %% is impossible", path, d.Name, d.DropUL, d.DropSDPct), "measure it again with halfdrop plan dropper")
		}
	}
	return list, path, nil
}

// KeepDropper puts a dropper into the file, in place of one of that name.
func KeepDropper(d Dropper) (string, error) {
	list, path, err := ReadDroppers()
	if err != nil {
		return path, err
	}
	list.Dropper = slices.DeleteFunc(list.Dropper, func(x Dropper) bool { return strings.EqualFold(x.Name, d.Name) })
	list.Dropper = append(list.Dropper, d)
	return path, save(path, "# Droppers measured with halfdrop plan dropper.\n", list, 0o644)
}

// FindDropper is a measured dropper by name.
func FindDropper(name string) (Dropper, error) {
	list, _, err := ReadDroppers()
	if err != nil {
		return Dropper{}, err
	}
	var names []string
	for _, d := range list.Dropper {
		if strings.EqualFold(d.Name, strings.TrimSpace(name)) {
			return d, nil
		}
		names = append(names, d.Name)
	}
	hint := "no dropper has been measured yet; weigh 20 drops: halfdrop plan dropper NAME --grams 0.98"
	if len(names) > 0 {
		hint = "known: " + strings.Join(names, ", ")
	}
	return Dropper{}, remedy.Call(fmt.Errorf("%q is not known", name), hint)
}
