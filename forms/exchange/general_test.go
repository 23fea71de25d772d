package exchange_test

import (
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
)

// validated is what the general validators of testdata/node find in bundles, by name. Without node or its modules the
// test is skipped, or fails where tools are required.
func validated(t *testing.T, bundles map[string][]byte) map[string][]string {
	t.Helper()
	missing := func(why string) {
		if os.Getenv("PHILTRUM_REQUIRE_TOOLS") == "1" {
			t.Fatal(why)
		}
		t.Skip(why)
	}
	node, err := exec.LookPath("node")
	if err != nil {
		missing("node is not here to validate bundles")
	}
	root := filepath.Join("..", "..", "testdata", "node")
	modules := filepath.Join(root, "node_modules")
	if named := os.Getenv("PHILTRUM_NODE_MODULES"); named != "" {
		modules = named
	}
	for _, module := range []string{"fhir", "@asymmetrik/fhir-json-schema-validator"} {
		if _, err := os.Stat(filepath.Join(modules, module)); err != nil {
			missing("the module " + module + " is not installed in testdata/node")
		}
	}
	if modules, err = filepath.Abs(modules); err != nil {
		t.Fatal(err)
	}
	args := []string{filepath.Join(root, "bundle.mjs"), modules}
	dir, names := t.TempDir(), map[string]string{}
	for name, data := range bundles {
		file := filepath.Join(dir, string(rune('a'+len(names)%26))+itoa(len(names))+".json")
		if err := os.WriteFile(file, data, 0o600); err != nil {
			t.Fatal(err)
		}
		names[file] = name
		args = append(args, file)
	}
	out, err := exec.Command(node, args...).Output()
	if err != nil {
		t.Fatal(err)
	}
	var found []struct {
		File            string
		Schema, General []string
	}
	if err := json.Unmarshal(out, &found); err != nil {
		t.Fatal(err)
	}
	all := map[string][]string{}
	for _, f := range found {
		all[names[f.File]] = append(f.Schema, f.General...)
	}
	if len(all) != len(bundles) {
		t.Fatalf("%d bundles were validated of %d", len(all), len(bundles))
	}
	return all
}

func itoa(n int) string { b, _ := json.Marshal(n); return string(b) }

// General validators of the standard, the published JSON schema among them, accept what we write and reject what is
// wrong by it.
func TestGeneralValidatorsAgree(t *testing.T) {
	bundles := map[string][]byte{}
	for name, r := range states(t) {
		bundles[name] = bundleOf(t, r)
	}
	wrong := map[string]bool{}
	for _, m := range mutations {
		if m.general {
			b := opened(t, bundles["treated"])
			m.change(b)
			bundles[m.name], wrong[m.name] = closed(t, b), true
		}
	}
	for name, found := range validated(t, bundles) {
		if wrong[name] != (len(found) > 0) {
			t.Errorf("%s: %q", name, found)
		}
	}
}
