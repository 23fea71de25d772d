package exchange_test

import (
	"bytes"
	"encoding/json"
	"flag"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"philtrum/forms"
	"philtrum/forms/clinic"
	"philtrum/forms/exchange"
	"philtrum/forms/intake"
	"philtrum/forms/visit"

	"github.com/google/go-cmp/cmp"
)

var update = flag.Bool("update", false, "write the golden files anew")

// night is a complication after the treatment, in a visit of its own.
func night(t testing.TB) exchange.Record {
	r := treated(t)
	before := r.Visit
	r.Earlier, r.Intake, r.Documents = []visit.Visit{before}, intake.Intake{}, nil
	r.Visit = visit.Visit{ID: "v2", Patient: "p1", Kind: visit.Complication, Appointment: at(5, 2, 10), Practitioner: "amara", After: "v1", Salt: "d4e5",
		Treatment: &visit.Given{Event: &visit.Event{Onset: at(5, 1, 30), Signs: "pale patch", Seriousness: "other"}}}
	return r
}

// A complication in a visit of its own suspects the units of the treatment that it follows, under the ids that they
// have in the bundle of that treatment.
func TestSuspectsAreThoseOfTheTreatment(t *testing.T) {
	devices := func(r exchange.Record) []string {
		var all []string
		b := opened(t, bundleOf(t, r))
		for _, s := range first(b, "AdverseEvent")["suspectEntity"].([]any) {
			all = append(all, s.(tree)["instance"].(tree)["reference"].(string))
		}
		return all
	}
	own, later := devices(treated(t)), devices(night(t))
	if len(own) != 2 || !slices.Equal(own, later) {
		t.Errorf("suspected in the treatment's bundle %v, in that of the night %v", own, later)
	}
}

func states(t testing.TB) map[string]exchange.Record {
	opaque := treated(t)
	opaque.Names = false
	before := treated(t)
	before.Visit.Treatment, before.Visit.States, before.Documents = nil, nil, nil
	bare := exchange.Record{Visit: visit.Visit{ID: "v9", Patient: "p9", Appointment: at(4, 9, 0)}, Words: words{}}
	call := treated(t)
	call.Visit.Kind, call.Intake = visit.Call, intake.Intake{}
	call.Visit.Treatment = &visit.Given{Event: &visit.Event{OnsetText: "last night"}}
	backwards := treated(t)
	backwards.Visit.Treatment.End = at(4, 8, 0)
	withdrawn := treated(t)
	withdrawn.Visit.States = append(withdrawn.Visit.States[:2:2], visit.StateChange{State: visit.Withdrawn, At: at(4, 9, 5)})
	nobody := treated(t)
	nobody.Clinic, nobody.Staff, nobody.Stock = clinic.Clinic{}, nil, clinic.Stock{}
	return map[string]exchange.Record{"treated": treated(t), "night": night(t), "opaque": opaque, "before": before, "bare": bare, "call": call, "backwards": backwards,
		"withdrawn": withdrawn, "nobody": nobody}
}

// Whatever a visit has or lacks, its bundle holds by the published definitions.
func TestBundlesHold(t *testing.T) {
	for name, r := range states(t) {
		data := bundleOf(t, r)
		for _, f := range exchange.Check(data) {
			t.Errorf("%s: %s: %s", name, f.Path, f.Rule)
		}
		if t.Failed() {
			t.Logf("%s", data)
			return
		}
	}
}

func TestBundleIsAsReviewed(t *testing.T) {
	got := bundleOf(t, treated(t))
	file := filepath.Join("testdata", "treated.json")
	if *update {
		if err := os.MkdirAll("testdata", 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(file, got, 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(string(want), string(got)); diff != "" {
		t.Errorf("(-reviewed +now):\n%s", diff)
	}
}

// The same record gives the same bytes, and nothing of it depends on when that is.
func TestBundlesAreTheSameToTheByte(t *testing.T) {
	first := bundleOf(t, treated(t))
	for range 20 {
		if !bytes.Equal(first, bundleOf(t, treated(t))) {
			t.Fatal("the same record gave other bytes")
		}
	}
}

// Ids say nothing: without the salt they cannot be guessed from what they name, and the patient is the same one in
// every bundle about them.
func TestIDsSayNothing(t *testing.T) {
	ids := func(r exchange.Record) map[string]string {
		var b struct {
			Entry []struct {
				Resource struct {
					ResourceType, ID string
				}
			}
		}
		if err := json.Unmarshal(bundleOf(t, r), &b); err != nil {
			t.Fatal(err)
		}
		all := map[string]string{}
		for _, e := range b.Entry {
			all[e.Resource.ID] = e.Resource.ResourceType
		}
		return all
	}
	r := treated(t)
	first := ids(r)
	r.Visit.Salt = "another"
	for id, kind := range ids(r) {
		if same := first[id] != ""; same != (kind == "Patient") {
			t.Errorf("%s kept its id: %v", kind, same)
		}
	}
}

// Without names nothing says who it is but the number.
func TestWithoutNames(t *testing.T) {
	r := treated(t)
	r.Names = false
	data := string(bundleOf(t, r))
	for _, no := range []string{"Wilhelmina", "Ostrowska", "1986", "Weir", "960300", "w@post"} {
		if strings.Contains(data, no) {
			t.Errorf("the bundle says %q", no)
		}
	}
	if !strings.Contains(data, "P-4711") {
		t.Error("the number is missing")
	}
}

// A volume is the decimal that was written, and what could not be read is no number.
func TestVolumesAreExact(t *testing.T) {
	data := string(bundleOf(t, treated(t)))
	for _, yes := range []string{`"value": 0.3,`, `"valueString": "a third or so"`, `"value": 75,`, `"code": "[iU]"`, `"valueDecimal": 6.4`} {
		if !strings.Contains(data, yes) {
			t.Errorf("the bundle lacks %s", yes)
		}
	}
}

// An answer that nobody gave is never a no: it has no value, and says why.
func TestUnknownIsNeverNo(t *testing.T) {
	for state, want := range map[forms.State]string{forms.Declined: "asked-declined", forms.Unsure: "asked-unknown", forms.Blank: "unknown"} {
		r := treated(t)
		r.Intake.Answers = map[string]forms.Answer{"pregnancy": {State: state, By: "patient", At: at(4, 8, 50), Via: "screen"}}
		data := string(bundleOf(t, r))
		if strings.Contains(data, `"valueBoolean": false`) || !strings.Contains(data, `"valueCode": "`+want+`"`) {
			t.Errorf("%s: does not say %s", state, want)
		}
	}
}
