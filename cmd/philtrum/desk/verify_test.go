package desk_test

import (
	"bytes"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/x509"
	"crypto/x509/pkix"
	"go/ast"
	"go/parser"
	"go/token"
	"math/big"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"
	"software.sslmate.com/src/go-pkcs12"

	"philtrum/cmd/philtrum/desk"
	"philtrum/cmd/philtrum/folder"
	"philtrum/forms/journal"
	"philtrum/forms/source"
	"philtrum/locales"
	"philtrum/templates/pdf/conform"
	"philtrum/templates/pdf/sign"
)

var sealedAt = time.Date(2026, 12, 4, 10, 0, 0, 0, time.UTC)

// proof is a clinic with one treated visit whose record was issued.
func proof(t testing.TB) (*desk.Desk, string) {
	t.Helper()
	f, err := folder.Make(t.TempDir())
	if err != nil {
		t.Fatal(err)
	}
	b := f.Batch(sealedAt)
	for name, text := range map[string]string{
		"clinic.yaml":   "name: Quayside Clinic\nplace: GB-ENG\nzone: Europe/London\nlanguage: en-GB\ntelephone: 01632 960200\nnight_telephone: 01632 960201\n",
		"staff.yaml":    "staff:\n  - {id: amara, name: Amara Voss, profession: nurse, roles: [injector], from: 2022-01-10}\n",
		"products.yaml": "products: []\n",
	} {
		b.Create(name, []byte(text))
	}
	b.Enter("clinic", "clinic", "")
	if err := b.Commit(); err != nil {
		t.Fatal(err)
	}
	catalogue, err := locales.Load(locales.Default)
	if err != nil {
		t.Fatal(err)
	}
	d, problems, err := desk.Open(f, catalogue, sealedAt, rand.Reader)
	no(t, problems, err)
	parse := func(text string) *source.Node {
		n, problems := source.Parse("given", []byte(text))
		no(t, problems, nil)
		return n
	}
	patient, _, problems, err := d.NewPatient(parse("given: Ada\nfamily: Example\nborn: 1990-02-03\nreads: en\n"))
	no(t, problems, err)
	b = f.Batch(sealedAt)
	const id = "v1"
	b.Create("visits/2026/v1/visit.yaml", []byte("id: v1\npatient: "+patient+"\nkind: treatment\nappointment: 2026-12-04 09:00\nsalt: s1\n"+
		"treatment:\n  start: 2026-12-04 09:10\n  by: amara\n  asepsis: chlorhexidine\n"))
	b.EnterFile("opened", id, "visits/2026/v1/visit.yaml")
	if err := b.Commit(); err != nil {
		t.Fatal(err)
	}
	problems, err = d.Close(id, sealedAt.Add(-20*time.Minute), "amara")
	no(t, problems, err)
	_, problems, err = d.Issue(id, desk.Request{Kinds: []string{"record"}})
	no(t, problems, err)
	return d, id
}

func no(t testing.TB, problems source.Problems, err error) {
	t.Helper()
	if err != nil || len(problems) > 0 {
		t.Fatal(problems, err)
	}
}

func holder(t testing.TB) *sign.Identity {
	t.Helper()
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	c := &x509.Certificate{
		SerialNumber: big.NewInt(7), Subject: pkix.Name{CommonName: "Quayside Clinic (invented)"},
		NotBefore: sealedAt.AddDate(-1, 0, 0), NotAfter: sealedAt.AddDate(1, 0, 0), KeyUsage: x509.KeyUsageDigitalSignature,
	}
	der, err := x509.CreateCertificate(rand.Reader, c, c, key.Public(), key)
	if err != nil {
		t.Fatal(err)
	}
	if c, err = x509.ParseCertificate(der); err != nil {
		t.Fatal(err)
	}
	store, err := pkcs12.Modern.Encode(key, c, nil, "passphrase")
	if err != nil {
		t.Fatal(err)
	}
	id, err := sign.ReadIdentity(t.Context(), store, "passphrase")
	if err != nil {
		t.Fatal(err)
	}
	return id
}

// A sealed file keeps the rules of archives, signed or not, and says no more than it reaches.
func TestSealedFilesOfAVisit(t *testing.T) {
	d, id := proof(t)
	for _, who := range []*sign.Identity{nil, holder(t)} {
		sealed, problems, err := d.Seal(id, desk.SealRequest{By: "amara", Identity: who})
		no(t, problems, err)
		file, err := d.Folder().Read(sealed.File)
		if err != nil {
			t.Fatal(err)
		}
		for _, v := range conform.Check(file) {
			t.Error(v)
		}
		signatures := sign.Verify(file)
		if (who != nil) != (len(signatures) == 1) || sealed.Signed != (who != nil) {
			t.Errorf("%d signatures, signed %v", len(signatures), sealed.Signed)
		}
	}
	found, err := d.Verify("")
	if err != nil || len(found.Problems) > 0 || found.Seals != 2 || found.Signed != 1 {
		t.Errorf("%+v, %v", found, err)
	}
}

// Whatever byte of whatever file of a patient or visit, or of the journal, is changed, it is found.
func TestAnyChangedByteOfTheFolderIsFound(t *testing.T) {
	d, id := proof(t)
	_, problems, err := d.Seal(id, desk.SealRequest{By: "amara", Identity: holder(t)})
	no(t, problems, err)
	names := []string{"journal.jsonl"}
	for _, part := range []string{"visits", "patients"} {
		under, err := d.Folder().Under(part)
		if err != nil {
			t.Fatal(err)
		}
		names = append(names, under...)
	}
	if len(names) != 5 {
		t.Fatal(names)
	}
	rapid.Check(t, func(r *rapid.T) {
		name := rapid.SampledFrom(names).Draw(r, "file")
		path := d.Folder().Join(name)
		whole, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		broken := bytes.Clone(whole)
		at := rapid.IntRange(0, len(whole)-1).Draw(r, "at")
		broken[at] ^= byte(rapid.IntRange(1, 255).Draw(r, "by"))
		if name == "journal.jsonl" && at == len(whole)-1 {
			return // the end of the last line, which the next command mends
		}
		if err := os.WriteFile(path, broken, 0o600); err != nil {
			t.Fatal(err)
		}
		found, err := d.Verify("")
		if err := os.WriteFile(path, whole, 0o600); err != nil {
			t.Fatal(err)
		}
		said := found.Problems
		if strings.HasPrefix(name, "patients/") {
			said = found.Notices // whoever looks after the front desk may edit these
		}
		if err != nil || len(said) == 0 || said[0].Span.File != name {
			r.Fatalf("byte %d of %s: %v, %v", at, name, said, err)
		}
	})
	found, err := d.Verify("")
	if err != nil || len(found.Problems) > 0 {
		t.Error(found.Problems, err)
	}
}

// Cut off at any line, the journal no longer agrees with the files.
func TestACutJournalIsFound(t *testing.T) {
	d, id := proof(t)
	_, problems, err := d.Seal(id, desk.SealRequest{By: "amara"})
	no(t, problems, err)
	_, head, problems, err := d.Head()
	no(t, problems, err)
	whole, err := d.Folder().Read("journal.jsonl")
	if err != nil {
		t.Fatal(err)
	}
	lines := bytes.SplitAfter(whole, []byte("\n"))
	for n := range len(lines) - 1 {
		if err := os.WriteFile(d.Folder().Join("journal.jsonl"), bytes.Join(lines[:n], nil), 0o600); err != nil {
			t.Fatal(err)
		}
		alone, err := d.Verify("")
		if err != nil {
			t.Fatal(err)
		}
		printed, err := d.Verify(head)
		if err != nil {
			t.Fatal(err)
		}
		// The last entry but one is of the sealed file, the last says of which visit it is.
		if n < len(lines)-2 && len(alone.Problems) == 0 {
			t.Errorf("cut after line %d: the files say nothing", n)
		}
		if len(printed.Problems) == 0 || printed.Problems[0].ID != "verify.head_unknown" {
			t.Errorf("cut after line %d: the printed hash says nothing", n)
		}
	}
}

// Every word that is entered with the digest of something else than the subject's own file is known as such:
// otherwise an edit by hand would be seen where there is none.
func TestWordsOfTheJournalAreKnown(t *testing.T) {
	files, err := filepath.Glob("*.go")
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range files {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		file, err := parser.ParseFile(token.NewFileSet(), name, nil, 0)
		if err != nil {
			t.Fatal(err)
		}
		ast.Inspect(file, func(n ast.Node) bool {
			call, ok := n.(*ast.CallExpr)
			if !ok {
				return true
			}
			method, ok := call.Fun.(*ast.SelectorExpr)
			if !ok || method.Sel.Name != "Enter" || len(call.Args) < 3 {
				return true
			}
			word, ok := call.Args[len(call.Args)-3].(*ast.BasicLit)
			if !ok {
				return true
			}
			what := strings.Trim(word.Value, `"`)
			if what != "clinic" && (journal.Entry{What: what, Digest: "00"}).OfOwnFile() {
				t.Errorf("%s enters %q, whose digest is of another file; add it to the words of forms/journal", name, what)
			}
			return true
		})
	}
}
