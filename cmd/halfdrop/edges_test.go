package main

import (
	"bytes"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const module = "example.org/halfdrop/"

// edge is an import that must not be, with its reason.
type edge struct {
	from, to string // path prefixes; to "" is anything outside the standard library and from's own tree
	except   []string
	leaf     string // the one room below to that may be had, itself with nothing below it
	why      string
}

var forbidden = []edge{
	{from: "chem", to: "meter", why: "chemistry knows no instrument"},
	{from: "chem", to: "tui", why: "imports point one way: chem, meter, tui, cmd"},
	{from: "chem", to: "cmd", why: "imports point one way: chem, meter, tui, cmd"},
	{from: "chem", to: "github.com", why: "chem uses the standard library only"},
	{from: "chem", to: "time", why: "chem knows no clock"},
	{from: "chem", to: "os", why: "chem knows no files"},
	{from: "chem", to: "net", why: "chem knows no network"},
	{from: "chem/recipe", to: "chem/recipe/written", why: "what is written is read into amounts; nothing below reads text", except: []string{"chem/recipe/written"}},
	{from: "chem/recipe", to: "chem/recipe/prepare", why: "a plan does not know how it came about", except: []string{"chem/recipe/prepare"}},
	{from: "chem/recipe", to: "chem/recipe/buffer", why: "a plan does not know how it came about", except: []string{"chem/recipe/buffer", "chem/recipe/prepare", "chem/recipe/written"}},
	{from: "chem/coach", to: "chem/recipe", why: "a coach has a bench, however it was planned", except: []string{"chem/coach/coachtest"}},
	{from: "chem/coach/account", to: "chem/coach/belief", why: "the accounts are there before any reading"},
	{from: "chem/coach/account", to: "chem/coach/nameless", why: "the accounts are there before any reading"},
	{from: "chem/coach/belief", to: "chem/coach/dose", why: "what is believed does not ask what is to be given"},
	{from: "chem/coach/nameless", to: "chem/coach/account", why: "the account without a name goes by no other"},
	{from: "chem/coach/normal", to: "chem", why: "a distribution knows nothing of titrations"},
	{from: "", to: "chem/coach/coachtest", why: "a program does not carry the benches of its tests"},
	{from: "", to: "meter/replay/replaytest", why: "a program does not carry the journals of its tests"},
	{from: "meter/run", to: "chem/recipe/prepare", why: "a run has a plan, however it came about"},
	{from: "meter/run", to: "chem/recipe/buffer", why: "a run has a plan, however it came about"},
	{from: "meter", to: "tui", why: "imports point one way: chem, meter, tui, cmd"},
	{from: "meter", to: "cmd", why: "imports point one way: chem, meter, tui, cmd"},
	{from: "meter/frame", to: "os", why: "bytes to readings is pure"},
	{from: "meter/frame", to: "meter/guard", why: "a line is read by itself"},
	{from: "meter/guard", to: "os", why: "a judge of lines is pure"},
	{from: "meter/probe/sift", to: "meter", why: "whether a reading counts is told by the readings alone"},
	{from: "meter/probe/sift", to: "chem", why: "whether a reading counts is told by the readings alone"},
	{from: "meter/probe", to: "time", why: "settling is told the time"},
	{from: "meter/calib", to: "os", why: "the judgement of a calibration is pure"},
	{from: "meter/run", to: "meter/serial", why: "a run is handed its source"},
	{from: "meter/run", to: "meter/sim", why: "a run is handed its source"},
	{from: "meter/run", to: "meter/replay", why: "a run is handed its source"},
	{from: "meter/run", to: "meter/run/session", why: "a state knows no clock and no keys"},
	{from: "meter/run", to: "meter/run/keep", why: "a state knows no files", except: []string{"meter/run/keep", "meter/run/session"}},
	{from: "meter/run", to: "meter/run/propose", why: "a state is what is on record, whoever proposed it", except: []string{"meter/run/propose", "meter/run/session"}},
	{from: "meter/run/warmth", to: "chem/coach", why: "how warm a beaker is says nothing of what is added"},
	{from: "meter/run/sober", to: "chem", why: "an end is borne out by the readings alone"},
	{from: "meter/run/order", to: "meter/spot", why: "an order is told what it needs"},
	{from: "meter/run/order", to: "chem/coach", why: "an order is told what it needs"},
	{from: "meter/run/still", to: "meter", why: "a reading stands still by itself"},
	{from: "meter/run/electrode", to: "chem/coach", why: "an electrode knows nothing of what is added"},
	{from: "meter/run/given", to: "meter/probe", why: "what was given is no reading"},
	{from: "meter/run/view", to: "os", why: "what is shown is pure"},
	{from: "meter/run/view", to: "time", why: "what is shown is told the time"},
	{from: "meter/run/intent", to: "chem", why: "what is wanted is in the person's words"},
	{from: "tui/screen", to: "meter/run/session", why: "a screen is drawn from data"},
	{from: "tui", to: "meter/serial", why: "a screen sees the run only", except: []string{"tui/teach", "tui/live"}},
	{from: "tui", to: "meter/link", why: "a screen sees the run only", except: []string{"tui/teach", "tui/live"}},
	{from: "tui", to: "meter/sim", why: "a screen sees the run only", except: []string{"tui/lesson", "tui/live", "tui/amount"}},
	{from: "tui", to: "meter/journal", why: "a screen sees the run only", except: []string{"tui/lesson", "tui/past", "tui/home", "tui/live"}},
	{from: "tui", to: "meter/frame", why: "a screen sees the run only", except: []string{"tui/teach"}},
	{from: "tui", to: "chem/recipe", why: "a screen sees the run only", except: []string{"tui/form", "tui/dip", "tui/lesson", "tui/home", "tui/live", "tui/amount", "tui/past"}},
	{from: "tui/screen", to: "tui/teach", why: "a screen is drawn from data; what answers it stands above"},
	{from: "tui/screen", to: "tui/lesson", why: "a screen is drawn from data; what answers it stands above"},
	{from: "tui/screen", to: "tui/past", why: "a screen is drawn from data; what answers it stands above"},
	{from: "tui/screen", to: "tui/home", why: "a screen is drawn from data; what answers it stands above"},
	{from: "tui/dip", to: "tui/lesson", why: "a lesson has a calibration in it, and a calibration no lesson"},
	{from: "tui/screen", to: "tui/dip", why: "a screen is drawn from data; what answers it stands above"},
	{from: "tui/screen", to: "tui/form", why: "a screen is drawn from data; what answers it stands above"},
	{from: "meter", to: "github.com/spf13", why: "the command line has the flags"},
	{from: "tui", to: "github.com/spf13", why: "the command line has the flags"},
	{from: "tui/screen", to: "tui/screen/planform", why: "a form stands beside the screens of a run"},
	{from: "tui/terminal", to: "meter/run", why: "a terminal knows no run"},
	{from: "tui/terminal", to: "tui/screen", why: "a terminal knows no screen"},
	{from: "tui/pick", to: "meter/run", why: "choosing is before a run or after it"},
	{from: "tui/screen/planform", to: "meter", why: "a form takes data; what they mean a Planner knows"},
	{from: "tui/screen/menu", to: "meter", why: "a list takes data"},
	{from: "tui/keyrow", to: "meter", why: "keys are words and what is drawn of them"},
	{from: "tui/widget", to: "tui/screen", why: "what screens are drawn with knows none of them"},
	{from: "meter/remedy", to: "meter", why: "every room may say what to try"},
	{from: "meter/phrase", to: "meter", why: "every room may use the small words"},
	{from: "meter/phrase", to: "chem", leaf: "chem/spelling", why: "every room may use the small words"},
	{from: "chem/spelling", to: "", why: "how far words are apart is for every room"},
	{from: "meter/phrase", to: "os", why: "words are pure"},
	{from: "meter/run", to: "meter/shelf", why: "a run is handed what is known of its bench"},
	{from: "meter/bench", to: "os", why: "what runs have shown is pure; its file stands on the shelf"},
	{from: "meter/run", to: "meter/station", why: "a run is handed its source"},
	{from: "meter/practice", to: "meter/station", why: "a station may be that of an exercise"},
	{from: "meter/replay", to: "meter/foreign", why: "a journal is not the log of another program"},
	{from: "meter/foreign", to: "meter/replay", why: "the log of another program is not a journal"},
	{from: "meter/foreign", to: "meter/journal", why: "the log of another program is not a journal"},
	{from: "meter/foreign", to: "os", why: "a log is read from a reader; the page above has the file"},
	{from: "meter/foreign/grid", to: "chem", why: "a table of numbers knows nothing of titrations"},
	{from: "meter/foreign/grid", to: "meter", why: "a table of numbers knows nothing of titrations"},
	{from: "meter/practice/score", to: "meter/practice/class", why: "a run is judged by itself"},
	{from: "meter/practice/score", to: "os", why: "the judgement of a run is pure"},
	{from: "meter/sheet", to: "os", why: "a recipe in words is pure"},
	{from: "meter/sheet", to: "meter/run", why: "a recipe is there before any run"},
	{from: "meter/planfile", to: "meter/run", why: "a plan is there before any run"},
	{from: "cmd/manners", to: "tui", why: "how a command line talks has nothing to do with what about"},
	{from: "cmd/manners", to: "chem", why: "how a command line talks has nothing to do with what about"},
	{from: "tui", to: "cmd", why: "imports point one way: chem, meter, tui, cmd"},
	{from: "", to: "go.bug.st/serial", except: []string{"meter/serial"}, why: "one room knows the port library"},
	{from: "", to: "testing", why: "a program does not carry its test harness", except: []string{"tui/screen/screentest", "meter/serial/serialtest", "meter/station/stationtest", "meter/protocol/protocoltest"}},
}

// TestImportDirections reads the imports of every non-test file.
func TestImportDirections(t *testing.T) {
	root := filepath.Join("..", "..")
	files := 0
	err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() && (d.Name() == ".git" || d.Name() == "testdata") {
			return filepath.SkipDir
		}
		if d.IsDir() && d.Name() == "internal" {
			t.Errorf("%s: no directory is called so: who may import what is said above", path)
		}
		if d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return nil
		}
		files++
		rel, _ := filepath.Rel(root, filepath.Dir(path))
		checkImports(t, filepath.ToSlash(rel), path)
		return nil
	})
	require.NoError(t, err)
	require.Greater(t, files, 20, "the walk found the source files")
}

// TestRoomsAreSmall: a room that a person has to hold in the head has 2,500 lines at the most,
// and a file 350, without tests. What is more is cut where the sense of it is, not where it ends.
func TestRoomsAreSmall(t *testing.T) {
	const mostRoom, mostFile = 2500, 350
	root := filepath.Join("..", "..")
	rooms := map[string]int{}
	require.NoError(t, filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case d.IsDir() && (d.Name() == ".git" || d.Name() == "testdata"):
			return filepath.SkipDir
		case d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go"):
			return nil
		}
		src, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		lines := bytes.Count(src, []byte("\n"))
		rooms[filepath.Dir(path)] += lines
		assert.LessOrEqual(t, lines, mostFile, path)
		return nil
	}))
	require.Greater(t, len(rooms), 50, "the walk found the rooms")
	for room, lines := range rooms {
		assert.LessOrEqual(t, lines, mostRoom, room)
	}
}

func checkImports(t *testing.T, pkg, path string) {
	t.Helper()
	src, err := os.ReadFile(path)
	require.NoError(t, err)
	f, err := parser.ParseFile(token.NewFileSet(), path, src, parser.ImportsOnly)
	require.NoError(t, err)
	for _, imp := range f.Imports {
		to, _ := strconv.Unquote(imp.Path.Value)
		to = strings.TrimPrefix(to, module)
		for _, e := range forbidden {
			if within(pkg, e.from) && within(to, e.to) && !anyWithin(pkg, e.except) && (e.leaf == "" || to != e.leaf) {
				t.Errorf("%s imports %s: %s", path, to, e.why)
			}
		}
	}
}

func anyWithin(pkg string, list []string) bool {
	for _, p := range list {
		if within(pkg, p) {
			return true
		}
	}
	return false
}

// within reports whether a package path lies in the tree of another.
func within(pkg, tree string) bool {
	return tree == "" || pkg == tree || strings.HasPrefix(pkg, tree+"/")
}
