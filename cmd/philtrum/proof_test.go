package main

import (
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/pem"
	"math/big"
	"os"
	"strconv"
	"strings"
	"time"

	"github.com/rogpeppe/go-internal/testscript"
	"software.sslmate.com/src/go-pkcs12"
)

// certificate writes an invented clinic's key store, with the passphrase "three old ferries", and its certificate
// in PEM form. Its third argument is the year in which it ends.
func certificate(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 3 {
		ts.Fatalf("usage: certificate STORE ROOT YEAR")
	}
	year, err := strconv.Atoi(args[2])
	ts.Check(err)
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	ts.Check(err)
	c := &x509.Certificate{
		SerialNumber: big.NewInt(7), Subject: pkix.Name{CommonName: "Quayside Clinic (invented)"},
		NotBefore: time.Date(2020, 1, 1, 0, 0, 0, 0, time.UTC), NotAfter: time.Date(year, 1, 1, 0, 0, 0, 0, time.UTC),
		IsCA: true, BasicConstraintsValid: true, KeyUsage: x509.KeyUsageDigitalSignature | x509.KeyUsageCertSign,
	}
	der, err := x509.CreateCertificate(rand.Reader, c, c, key.Public(), key)
	ts.Check(err)
	made, err := x509.ParseCertificate(der)
	ts.Check(err)
	store, err := pkcs12.Modern.Encode(key, made, nil, "three old ferries")
	ts.Check(err)
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), store, 0o600))
	ts.Check(os.WriteFile(ts.MkAbs(args[1]), pem.EncodeToMemory(&pem.Block{Type: "CERTIFICATE", Bytes: der}), 0o600))
}

// shorten takes the last lines off a file.
func shorten(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 {
		ts.Fatalf("usage: shorten LINES FILE")
	}
	n, err := strconv.Atoi(args[0])
	ts.Check(err)
	data, err := os.ReadFile(ts.MkAbs(args[1]))
	ts.Check(err)
	lines := strings.SplitAfter(string(data), "\n")
	ts.Check(os.WriteFile(ts.MkAbs(args[1]), []byte(strings.Join(lines[:len(lines)-1-n], "")), 0o600))
}

// keepHash puts the hash of the journal's last entry, as `verify --head` printed it, into a variable.
func keepHash(ts *testscript.TestScript, neg bool, args []string) {
	_, hash, found := strings.Cut(ts.ReadFile("stdout"), "hash ")
	if neg || len(args) != 1 || !found {
		ts.Fatalf("no hash was printed")
	}
	ts.Setenv(args[0], strings.TrimSpace(hash))
}
