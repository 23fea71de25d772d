package sign

import (
	"bytes"
	"context"
	"crypto"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/rsa"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/asn1"
	"encoding/pem"
	"errors"
	"math/big"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"
	"software.sslmate.com/src/go-pkcs12"
)

var noon = time.Date(2026, 12, 4, 12, 0, 0, 0, time.UTC)

// issue makes a certificate of an invented clinic, signed by itself or by an issuer.
func issue(t testing.TB, key crypto.Signer, parent *x509.Certificate, by crypto.Signer) *x509.Certificate {
	t.Helper()
	c := &x509.Certificate{
		SerialNumber: big.NewInt(4711), Subject: pkix.Name{CommonName: "Quayside Clinic (invented)"},
		NotBefore: noon.AddDate(-1, 0, 0), NotAfter: noon.AddDate(1, 0, 0), BasicConstraintsValid: true,
		KeyUsage: x509.KeyUsageDigitalSignature,
	}
	if parent == nil {
		parent, by = c, key
	}
	if by == key {
		c.IsCA, c.KeyUsage = true, c.KeyUsage|x509.KeyUsageCertSign
	}
	der, err := x509.CreateCertificate(rand.Reader, c, parent, key.Public(), by)
	if err != nil {
		t.Fatal(err)
	}
	made, err := x509.ParseCertificate(der)
	if err != nil {
		t.Fatal(err)
	}
	return made
}

func keys(t testing.TB) map[string]crypto.Signer {
	t.Helper()
	r, err := rsa.GenerateKey(rand.Reader, 2048)
	if err != nil {
		t.Fatal(err)
	}
	e, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	return map[string]crypto.Signer{"RSA": r, "ECDSA": e}
}

func store(t testing.TB, key crypto.Signer, c *x509.Certificate, chain ...*x509.Certificate) []byte {
	t.Helper()
	data, err := pkcs12.Modern.Encode(key, c, chain, "passphrase")
	if err != nil {
		t.Fatal(err)
	}
	return data
}

func identity(t testing.TB, key crypto.Signer) *Identity {
	t.Helper()
	id, err := ReadIdentity(context.Background(), store(t, key, issue(t, key, nil, nil)), "passphrase")
	if err != nil {
		t.Fatal(err)
	}
	return id
}

// paper is a file with room for a signature, as far as this package looks at one.
func paper(room int) []byte {
	return []byte("%PDF-1.7\n1 0 obj\n<<" + Placeholder(room) + "/M(D:20261204130000+01'00')>>\nendobj\n2 0 obj\n<</Type/Catalog>>\nendobj\n%%EOF\n")
}

func TestSignAndVerify(t *testing.T) {
	for name, key := range keys(t) {
		t.Run(name, func(t *testing.T) {
			id := identity(t, key)
			signed, err := Fill(paper(id.Room()), id)
			if err != nil {
				t.Fatal(err)
			}
			again, err := Fill(paper(id.Room()), id)
			if err != nil || !bytes.Equal(signed, again) {
				t.Error("the same file is signed in two ways", err)
			}
			all := Verify(signed)
			if len(all) != 1 {
				t.Fatalf("%d signatures", len(all))
			}
			s := all[0]
			if s.Err != nil || !s.Whole || s.Level != Level || s.Holder != "Quayside Clinic (invented)" || !s.Claimed.Equal(noon) {
				t.Errorf("%+v", s)
			}
			grown := append(bytes.Clone(signed), "3 0 obj\n<<>>\nendobj\n%%EOF\n"...)
			if s := Verify(grown)[0]; s.Err != nil || s.Whole || s.Covers != len(signed) {
				t.Errorf("after an update: %+v", s)
			}
		})
	}
}

// Whatever byte outside the signature's own value is changed, the signature no longer holds or no longer covers
// the whole file. The value itself is guarded by what it says, apart from its wrapping, which proves nothing.
func TestAnyChangedByteIsFound(t *testing.T) {
	id := identity(t, keys(t)["ECDSA"])
	signed, err := Fill(paper(id.Room()), id)
	if err != nil {
		t.Fatal(err)
	}
	r := ranges(signed)[0]
	for at := range signed {
		if at > r.open && at < r.shut-1 {
			continue
		}
		for _, by := range []byte{1, 0x20, 0x80, 0xff} {
			broken := bytes.Clone(signed)
			broken[at] ^= by
			for _, s := range Verify(broken) {
				if s.Err == nil && s.Whole && s.Level == Level {
					t.Fatalf("byte %d: found nothing", at)
				}
			}
		}
	}
}

// A changed value never makes a signature that holds for somebody else, nor one of a higher level.
func TestAChangedValueTellsNothingElse(t *testing.T) {
	id := identity(t, keys(t)["ECDSA"])
	signed, err := Fill(paper(id.Room()), id)
	if err != nil {
		t.Fatal(err)
	}
	want := Verify(signed)[0]
	rg := ranges(signed)[0]
	rapid.Check(t, func(r *rapid.T) {
		broken := bytes.Clone(signed)
		at := rapid.IntRange(rg.open+1, rg.shut-2).Draw(r, "at")
		broken[at] = rapid.SampledFrom([]byte("0123456789abcdef")).Draw(r, "digit")
		for _, s := range Verify(broken) {
			if s.Err == nil && (s.Holder != want.Holder || s.Serial != want.Serial || !s.To.Equal(want.To) || s.Covers != want.Covers) {
				r.Fatalf("byte %d: %+v", at, s)
			}
		}
	})
}

func TestARangeThatLeavesSomethingOutIsRefused(t *testing.T) {
	id := identity(t, keys(t)["ECDSA"])
	signed, err := Fill(paper(id.Room()), id)
	if err != nil {
		t.Fatal(err)
	}
	open := bytes.Index(signed, []byte(contentsKey))
	for name, change := range map[string]func([]byte) []byte{
		"begins later":    func(b []byte) []byte { return bytes.Replace(b, []byte("[0 0"), []byte("[9 0"), 1) },
		"beyond the end":  func(b []byte) []byte { return b[:len(b)-2] },
		"not only digits": func(b []byte) []byte { b[open+len(contentsKey)+4] = 'x'; return b },
	} {
		s := Verify(change(bytes.Clone(signed)))
		if len(s) != 1 || s[0].Err == nil {
			t.Errorf("%s: %+v", name, s)
		}
	}
}

func TestTrustNeedsARoot(t *testing.T) {
	all := keys(t)
	root := issue(t, all["RSA"], nil, nil)
	leaf := issue(t, all["ECDSA"], root, all["RSA"])
	id, err := ReadIdentity(context.Background(), store(t, all["ECDSA"], leaf, root), "passphrase")
	if err != nil {
		t.Fatal(err)
	}
	signed, err := Fill(paper(id.Room()), id)
	if err != nil {
		t.Fatal(err)
	}
	s := Verify(signed)[0]
	roots := x509.NewCertPool()
	if s.Trust(roots, noon) {
		t.Error("trusted without a root")
	}
	roots.AddCert(root)
	if !s.Trust(roots, noon) || s.Trust(roots, noon.AddDate(3, 0, 0)) {
		t.Error("trust does not follow root and time")
	}
}

func TestKeyStoresThatAreRefused(t *testing.T) {
	key := keys(t)["ECDSA"]
	good := store(t, key, issue(t, key, nil, nil))
	costly, err := pkcs12.Modern.WithIterations(maxIterations+1).Encode(key, issue(t, key, nil, nil), nil, "passphrase")
	if err != nil {
		t.Fatal(err)
	}
	small, err := rsa.GenerateKey(rand.Reader, 1024)
	if err != nil {
		t.Skip("this build makes no short keys")
	}
	for name, c := range map[string]struct {
		store      []byte
		passphrase string
		want       error
	}{
		"wrong passphrase": {good, "other", ErrPassphrase},
		"cut off":          {good[:len(good)/2], "passphrase", ErrStore},
		"something behind": {append(bytes.Clone(good), 0), "passphrase", ErrStore},
		"empty":            {nil, "", ErrStore},
		"not DER":          {[]byte("-----BEGIN CERTIFICATE-----"), "", ErrStore},
		"too large":        {make([]byte, maxStore+1), "", ErrStore},
		"too much work":    {costly, "passphrase", ErrWork},
		"a short key":      {store(t, small, issue(t, small, nil, nil)), "passphrase", ErrKey},
	} {
		if _, err := ReadIdentity(context.Background(), c.store, c.passphrase); !errors.Is(err, c.want) {
			t.Errorf("%s: %v", name, err)
		}
	}
	ended, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := ReadIdentity(ended, costly[:0], ""); !errors.Is(err, ErrStore) {
		t.Error(err)
	}
}

func TestNoRoomIsSaid(t *testing.T) {
	id := identity(t, keys(t)["ECDSA"])
	for name, file := range map[string][]byte{"none": []byte("%PDF-1.7\n"), "too little": paper(16), "two": append(paper(4096), paper(4096)...)} {
		if _, err := Fill(file, id); !errors.Is(err, ErrNoRoom) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// openssl takes the signature, and refuses it after any change of the bytes.
func TestOpenSSLAccepts(t *testing.T) {
	program, err := exec.LookPath("openssl")
	if err != nil {
		if os.Getenv("PHILTRUM_REQUIRE_TOOLS") == "1" {
			t.Fatal("openssl is not installed")
		}
		t.Skip("openssl is not installed")
	}
	for name, key := range keys(t) {
		t.Run(name, func(t *testing.T) {
			id := identity(t, key)
			signed, err := Fill(paper(id.Room()), id)
			if err != nil {
				t.Fatal(err)
			}
			r := ranges(signed)[0]
			dir := t.TempDir()
			write := func(name string, data []byte) string {
				path := filepath.Join(dir, name)
				if err := os.WriteFile(path, data, 0o600); err != nil {
					t.Fatal(err)
				}
				return path
			}
			content := append(bytes.Clone(signed[:r.open]), signed[r.shut:]...)
			var der asn1.RawValue
			if _, err := asn1.Unmarshal(r.der, &der); err != nil {
				t.Fatal(err)
			}
			signature, root := write("cms.der", der.FullBytes), write("root.pem",
				pem.EncodeToMemory(&pem.Block{Type: "CERTIFICATE", Bytes: id.certificate.Raw}))
			verify := func(content string) (string, error) {
				out, err := exec.Command(program, "cms", "-verify", "-binary", "-inform", "DER", "-in", signature, "-content", content,
					"-CAfile", root, "-purpose", "any", "-cades", "-no_check_time", "-out", filepath.Join(dir, "out")).CombinedOutput()
				return string(out), err
			}
			out, err := verify(write("content", content))
			if err != nil || !strings.Contains(strings.ToLower(out), "successful") {
				t.Errorf("%v\n%s", err, out)
			}
			content[12] ^= 1
			if out, err := verify(write("changed", content)); err == nil {
				t.Errorf("a changed byte passes:\n%s", out)
			}
		})
	}
}

func FuzzVerify(f *testing.F) {
	id := identity(f, keys(f)["ECDSA"])
	signed, err := Fill(paper(id.Room()), id)
	if err != nil {
		f.Fatal(err)
	}
	f.Add(signed)
	f.Add([]byte("/ByteRange[0 1 3 4]/Contents<>"))
	f.Fuzz(func(_ *testing.T, file []byte) { Verify(file) })
}

func FuzzReadIdentity(f *testing.F) {
	key := keys(f)["ECDSA"]
	f.Add(store(f, key, issue(f, key, nil, nil)))
	f.Fuzz(func(t *testing.T, data []byte) {
		if affordable(data) != nil {
			return
		}
		ctx, cancel := context.WithTimeout(context.Background(), 5*time.Second)
		defer cancel()
		if id, err := ReadIdentity(ctx, data, "passphrase"); err == nil && id == nil {
			t.Error("neither identity nor error")
		}
	})
}
