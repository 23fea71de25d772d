package pdf_test

import (
	"bytes"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/asn1"
	"encoding/hex"
	"encoding/pem"
	"math/big"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"software.sslmate.com/src/go-pkcs12"

	"philtrum/templates/pdf"
	"philtrum/templates/pdf/conform"
	"philtrum/templates/pdf/read"
	"philtrum/templates/pdf/sign"
)

// signer is an invented clinic's key with its certificate.
func signer(t testing.TB) (*sign.Identity, *x509.Certificate) {
	t.Helper()
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	c := &x509.Certificate{
		SerialNumber: big.NewInt(7), Subject: pkix.Name{CommonName: "Quayside Clinic (invented)"},
		NotBefore: time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC), NotAfter: time.Date(2046, 1, 1, 0, 0, 0, 0, time.UTC),
		IsCA: true, BasicConstraintsValid: true, KeyUsage: x509.KeyUsageDigitalSignature | x509.KeyUsageCertSign,
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
	return id, c
}

var held = []pdf.Attachment{
	{Name: "visit.yaml", Type: "text/plain", Description: "The visit", Relationship: pdf.Data, Data: []byte("id: v1\n")},
	{Name: "consent.pdf", Type: "application/pdf", Description: "As issued", Relationship: pdf.Supplement, Data: []byte("%PDF-1.7\n")},
	{Name: "page.jpg", Type: "image/jpeg", Description: "As attached", Relationship: pdf.Supplement, Data: bytes.Repeat([]byte{0xff, 0xd8}, 500)},
}

// sealed is a paper with attachments and, with an identity, a signature.
func sealed(t testing.TB, id *sign.Identity, files ...pdf.Attachment) []byte {
	t.Helper()
	r, fonts := specimen()
	info := specimenInfo(pdf.PDFA3u)
	info.Attachments = files
	if id != nil {
		info.Signature = &pdf.Signature{Entries: sign.Placeholder(id.Room()), Label: "Signature of the clinic", At: info.Issued}
	}
	var out bytes.Buffer
	if err := pdf.Write(&out, r, fonts, info); err != nil {
		t.Fatal(err)
	}
	if id == nil {
		return out.Bytes()
	}
	file, err := sign.Fill(out.Bytes(), id)
	if err != nil {
		t.Fatal(err)
	}
	return file
}

func TestSealedFilesKeepTheRules(t *testing.T) {
	id, _ := signer(t)
	for name, file := range map[string][]byte{
		"signed": sealed(t, id, held...), "unsigned": sealed(t, nil, held...), "without attachments": sealed(t, id),
		"beyond 16 MB": sealed(t, id, pdf.Attachment{Name: "scan.jpg", Type: "image/jpeg", Description: "x", Relationship: pdf.Supplement, Data: make([]byte, 17<<20)}),
	} {
		for _, v := range conform.Check(file) {
			t.Errorf("%s: %s", name, v)
		}
	}
}

// What part 3 wants of attached files is missed where it is missing. What is put in its place is as long, so
// that no offset moves.
func TestBrokenAttachmentsAreFound(t *testing.T) {
	r, fonts := specimen()
	info := specimenInfo(pdf.PDFA3u)
	info.Attachments = held[1:] // streams that stand as they are
	var out bytes.Buffer
	if err := pdf.Write(&out, r, fonts, info); err != nil {
		t.Fatal(err)
	}
	for _, at := range []string{"/Subtype/application#2Fpdf", "/Subtype/image#2Fjpeg"} {
		broken := bytes.Replace(out.Bytes(), []byte(at), []byte("/Subtipe"+at[len("/Subtype"):]), 1)
		found := conform.Check(broken)
		if len(found) != 1 || found[0].Rule != conform.RuleEmbed {
			t.Errorf("%s: %v", at, found)
		}
	}
}

func TestOnlyPart3HoldsOtherFiles(t *testing.T) {
	r, fonts := specimen()
	info := specimenInfo(pdf.PDFA2u)
	info.Attachments = held
	if err := pdf.Write(&bytes.Buffer{}, r, fonts, info); err == nil {
		t.Error("a file of part 2 holds another")
	}
}

func TestAttachmentsReadBack(t *testing.T) {
	f, err := read.Open(sealed(t, nil, held...))
	if err != nil {
		t.Fatal(err)
	}
	got := map[string]string{}
	for _, o := range f.Array(f.Catalog()["AF"]) {
		spec := f.Dict(o)
		name, _ := f.Text(spec["UF"])
		s, ok := f.Resolve(f.Dict(spec["EF"])["F"]).(*read.Stream)
		if !ok {
			t.Fatalf("%s: no stream", name)
		}
		data, err := s.Data()
		if err != nil {
			t.Fatal(err)
		}
		got[name] = string(data)
	}
	for _, a := range held {
		if got[a.Name] != string(a.Data) {
			t.Errorf("%s reads %d bytes", a.Name, len(got[a.Name]))
		}
	}
}

// The signature is one that others accept, and refuse once a byte was changed.
func TestOtherReadersTakeTheSignature(t *testing.T) {
	id, certificate := signer(t)
	file := sealed(t, id, held...)
	if s := sign.Verify(file); len(s) != 1 || s[0].Err != nil || !s[0].Whole || s[0].Level != sign.Level {
		t.Fatalf("%+v", s)
	}
	t.Run("qpdf", func(t *testing.T) {
		out := run(t, file, tool(t, "qpdf"), "--check", "FILE")
		if !strings.Contains(out, "No syntax or stream encoding errors found") || strings.Contains(out, "WARNING") {
			t.Error(out)
		}
		out = run(t, file, tool(t, "qpdf"), "--show-attachment=visit.yaml", "FILE")
		if out != "id: v1\n" {
			t.Errorf("visit.yaml reads %q", out)
		}
	})
	t.Run("pdfsig", func(t *testing.T) {
		program := tool(t, "pdfsig")
		out := run(t, file, program, "-nocert", "FILE")
		for _, want := range []string{"Signature is Valid", "Total document signed", "ETSI.CAdES.detached", "Quayside Clinic (invented)"} {
			if !strings.Contains(out, want) {
				t.Errorf("no %q in\n%s", want, out)
			}
		}
		for at := 1000; at < len(file); at += len(file)/12 + 1 {
			broken := bytes.Clone(file)
			broken[at] ^= 1
			if s := sign.Verify(broken); len(s) == 1 && s[0].Err == nil && s[0].Whole {
				t.Errorf("byte %d: our own check finds nothing", at)
			}
			if out := tried(t, broken, program, "-nocert", "FILE"); strings.Contains(out, "Signature is Valid") && strings.Contains(out, "Total document signed") {
				t.Errorf("byte %d: pdfsig finds nothing\n%s", at, out)
			}
		}
	})
	t.Run("pdfsig after an update", func(t *testing.T) {
		grown := append(bytes.Clone(file), "\n% added later\n"...)
		out := tried(t, grown, tool(t, "pdfsig"), "-nocert", "FILE")
		if !strings.Contains(out, "Signature is Valid") || strings.Contains(out, "Total document signed") {
			t.Error(out)
		}
	})
	t.Run("openssl", func(t *testing.T) {
		program := tool(t, "openssl")
		signature, content := taken(t, file)
		for name, c := range map[string]struct {
			content []byte
			ok      bool
		}{"as signed": {content, true}, "changed": {append([]byte("x"), content[1:]...), false}} {
			dir := t.TempDir()
			put := func(name string, data []byte) string {
				path := filepath.Join(dir, name)
				if err := os.WriteFile(path, data, 0o600); err != nil {
					t.Fatal(err)
				}
				return path
			}
			root := put("root.pem", pem.EncodeToMemory(&pem.Block{Type: "CERTIFICATE", Bytes: certificate.Raw}))
			out, err := exec.Command(program, "cms", "-verify", "-binary", "-cades", "-inform", "DER", "-in", put("cms", signature),
				"-content", put("content", c.content), "-CAfile", root, "-purpose", "any", "-no_check_time", "-out", os.DevNull).CombinedOutput()
			if (err == nil) != c.ok {
				t.Errorf("%s: %v\n%s", name, err, out)
			}
		}
	})
}

// tried is run for a tool that may well fail.
func tried(t *testing.T, file []byte, program string, args ...string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "paper.pdf")
	if err := os.WriteFile(path, file, 0o600); err != nil {
		t.Fatal(err)
	}
	for i, a := range args {
		if a == "FILE" {
			args[i] = path
		}
	}
	out, _ := exec.Command(program, args...).CombinedOutput() // what it says is what counts
	return string(out)
}

// taken takes the signature out of a file as its range says, without this project's reader.
func taken(t *testing.T, file []byte) (signature, content []byte) {
	t.Helper()
	open := bytes.Index(file, []byte("/Contents<")) + len("/Contents")
	shut := open + bytes.IndexByte(file[open:], '>') + 1
	padded, err := hex.DecodeString(string(file[open+1 : shut-1]))
	if err != nil {
		t.Fatal(err)
	}
	var der asn1.RawValue
	if _, err := asn1.Unmarshal(padded, &der); err != nil {
		t.Fatal(err)
	}
	signature = der.FullBytes
	return signature, append(bytes.Clone(file[:open]), file[shut:]...)
}
