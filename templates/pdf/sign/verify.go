package sign

import (
	"bytes"
	"crypto"
	"crypto/ecdsa"
	"crypto/rsa"
	_ "crypto/sha1" // in signatures of others, to say that it is too weak
	_ "crypto/sha256"
	_ "crypto/sha512"
	"crypto/x509"
	"encoding/asn1"
	"errors"
	"fmt"
	"time"
)

// Why a signature does not hold.
var (
	ErrForm    = errors.New("sign: a signature that cannot be read")
	ErrDigest  = errors.New("sign: the signed bytes were changed")
	ErrSigner  = errors.New("sign: the signature is not of this certificate")
	ErrUnknown = errors.New("sign: a method that is not judged here")
	ErrWeak    = errors.New("sign: a method that is too weak to prove anything")
)

// Signature is one signature of a file and what became of checking it.
type Signature struct {
	Covers    int       // bytes of the file from its start, the signature itself aside
	Whole     bool      // these are all bytes of the file; otherwise some were added later
	Claimed   time.Time // when, as the signer says; zero: not said
	Level     string    // what it reaches: Level, or empty where it is not of that form
	Timestamp bool      // it carries a timestamp, which is not judged here
	Holder    string    // whose certificate, as the certificate says
	Issuer    string
	Serial    string // in hexadecimal
	From, To  time.Time
	Err       error // nil: the covered bytes are those that were signed with this certificate's key

	certificate *x509.Certificate
	others      []*x509.Certificate
}

// Verify checks every signature of a file, in the order in which they stand; none for a file without.
func Verify(file []byte) []Signature {
	var all []Signature
	for _, r := range ranges(file) {
		all = append(all, r.verify(file))
	}
	return all
}

// Trust says whether the signer's certificate leads to one of the roots at a time. Revocation is not asked.
func (s Signature) Trust(roots *x509.CertPool, at time.Time) bool {
	if s.certificate == nil || s.Err != nil {
		return false
	}
	middle := x509.NewCertPool()
	for _, c := range s.others {
		middle.AddCert(c)
	}
	_, err := s.certificate.Verify(x509.VerifyOptions{
		Roots: roots, Intermediates: middle, CurrentTime: at, KeyUsages: []x509.ExtKeyUsage{x509.ExtKeyUsageAny},
	})
	return err == nil
}

func (r signedRange) verify(file []byte) Signature {
	s := Signature{Covers: r.end, Whole: r.end == len(file), Claimed: r.claimed}
	if r.broken {
		s.Err = ErrForm
		return s
	}
	var info contentInfo
	if err := only(r.der, &info); err != nil || !info.ContentType.Equal(oidSignedData) {
		s.Err = ErrForm
		return s
	}
	var data signedData
	if err := only(info.Content.Bytes, &data); err != nil || len(data.Signers) != 1 ||
		!data.Content.ContentType.Equal(oidData) || len(data.Content.Content.FullBytes) > 0 {
		s.Err = ErrForm
		return s
	}
	s.Err = s.check(data, file[:r.open], file[r.shut:r.end])
	if s.Err == nil && r.subFilter == subFilter {
		s.level(data.Signers[0])
	}
	return s
}

// only reads a value that is followed by nothing but the zeros of unused room.
func only(der []byte, v any) (err error) {
	defer func() {
		if recover() != nil {
			err = ErrForm
		}
	}()
	rest, err := asn1.Unmarshal(der, v)
	if err != nil || len(bytes.Trim(rest, "\x00")) != 0 {
		return ErrForm
	}
	return nil
}

// check verifies the one signer over the parts.
func (s *Signature) check(data signedData, parts ...[]byte) error {
	signer := data.Signers[0]
	if err := s.find(data.Certificates.Bytes, signer.Signer); err != nil {
		return err
	}
	hash, err := hashOf(signer.Digest.Algorithm)
	if err != nil {
		return err
	}
	attributes, err := readAttributes(signer.Attributes.Bytes)
	if err != nil {
		return err
	}
	content := hash.New()
	for _, p := range parts {
		_, _ = content.Write(p) // a hash takes everything
	}
	var said []byte
	if value, ok := attributes[oidMessageDigest.String()]; !ok || only(value, &said) != nil {
		return ErrForm
	}
	if !bytes.Equal(said, content.Sum(nil)) {
		return ErrDigest
	}
	var kind asn1.ObjectIdentifier
	if value, ok := attributes[oidContentType.String()]; !ok || only(value, &kind) != nil || !kind.Equal(oidData) {
		return ErrForm
	}
	if err := s.named(attributes); err != nil {
		return err
	}
	set, err := asn1.Marshal(asn1.RawValue{Tag: asn1.TagSet, IsCompound: true, Bytes: signer.Attributes.Bytes})
	if err != nil {
		return ErrForm
	}
	digest := hash.New()
	_, _ = digest.Write(set)
	return s.signed(signer, hash, digest.Sum(nil))
}

// find picks the signer's certificate from those that came with the signature.
func (s *Signature) find(der []byte, signer asn1.RawValue) error {
	certificates, err := x509.ParseCertificates(der)
	if err != nil {
		return ErrForm
	}
	var by issuerAndSerial
	bySerial := signer.Class == asn1.ClassUniversal
	if bySerial && only(signer.FullBytes, &by) != nil {
		return ErrForm
	}
	for _, c := range certificates {
		its := bytes.Equal(c.SubjectKeyId, signer.Bytes) && len(signer.Bytes) > 0
		if bySerial {
			its = by.Serial != nil && c.SerialNumber.Cmp(by.Serial) == 0 && bytes.Equal(c.RawIssuer, by.Issuer.FullBytes)
		}
		if its && s.certificate == nil {
			s.certificate = c
		} else {
			s.others = append(s.others, c)
		}
	}
	if s.certificate == nil {
		return ErrSigner
	}
	c := s.certificate
	s.Holder, s.Issuer = holder(c), named(c.Issuer.CommonName, c.Issuer.String())
	s.Serial, s.From, s.To = fmt.Sprintf("%x", c.SerialNumber), c.NotBefore, c.NotAfter
	return nil
}

// named checks that the signed attributes name this certificate, where they name one.
func (s *Signature) named(attributes map[string][]byte) error {
	value, ok := attributes[oidSigningCertV2.String()]
	if !ok {
		return nil
	}
	var by signingCertificateV2
	if err := firstOf(value, &by); err != nil || len(by.Certificates) == 0 {
		return ErrForm
	}
	first := by.Certificates[0]
	hash := crypto.SHA256
	if len(first.Algorithm.Algorithm) > 0 {
		var err error
		if hash, err = hashOf(first.Algorithm.Algorithm); err != nil {
			return err
		}
	}
	sum := hash.New()
	_, _ = sum.Write(s.certificate.Raw)
	if !bytes.Equal(sum.Sum(nil), first.Hash) {
		return ErrSigner
	}
	return nil
}

// firstOf reads a sequence whose later elements do not matter here.
func firstOf(der []byte, v *signingCertificateV2) error {
	var outer, list asn1.RawValue
	if only(der, &outer) != nil {
		return ErrForm
	}
	if _, err := asn1.Unmarshal(outer.Bytes, &list); err != nil {
		return ErrForm
	}
	var first essCertIDv2
	if _, err := asn1.Unmarshal(list.Bytes, &first); err != nil {
		return ErrForm
	}
	v.Certificates = []essCertIDv2{first}
	return nil
}

// signed checks the signature over the digest of the attributes.
func (s *Signature) signed(signer signerInfo, hash crypto.Hash, digest []byte) error {
	method := signer.SignatureWith.Algorithm
	switch key := s.certificate.PublicKey.(type) {
	case *rsa.PublicKey:
		if key.N.BitLen() < minModulus {
			return ErrWeak
		}
		switch {
		case method.Equal(oidRSAPSS):
			if rsa.VerifyPSS(key, hash, digest, signer.Signature, &rsa.PSSOptions{SaltLength: rsa.PSSSaltLengthAuto, Hash: hash}) == nil {
				return nil
			}
		case len(method) == len(oidRSA) && method[:len(oidRSAFamily)].Equal(oidRSAFamily):
			if rsa.VerifyPKCS1v15(key, hash, digest, signer.Signature) == nil {
				return nil
			}
		default:
			return ErrUnknown
		}
		return ErrSigner
	case *ecdsa.PublicKey:
		if len(method) != len(oidECDSAWithSHA256) || !method[:len(oidECDSA)].Equal(oidECDSA) {
			return ErrUnknown
		}
		if !ecdsa.VerifyASN1(key, digest, signer.Signature) {
			return ErrSigner
		}
		return nil
	}
	return ErrUnknown
}

// level states what the signature reaches: the attributes of level B-B, and no time that the signer wrote
// among them (ETSI EN 319 142-1, 6.3).
func (s *Signature) level(signer signerInfo) {
	attributes, err := readAttributes(signer.Attributes.Bytes)
	if err != nil {
		return
	}
	_, names := attributes[oidSigningCertV2.String()]
	_, old := attributes[oidSigningCert.String()]
	_, timed := attributes[oidSigningTime.String()]
	if (names || old) && !timed {
		s.Level = Level
	}
	if unsigned, err := readAttributes(signer.Unsigned.Bytes); err == nil {
		_, s.Timestamp = unsigned[oidTimestamp.String()]
	}
}

// maxAttributes is more than any signature has.
const maxAttributes = 64

// readAttributes gives the value of each attribute. One that stands twice, or has several values, is refused:
// it could be read two ways.
func readAttributes(der []byte) (map[string][]byte, error) {
	all := map[string][]byte{}
	for len(der) > 0 {
		var a attribute
		rest, err := asn1.Unmarshal(der, &a)
		if err != nil || len(all) > maxAttributes || a.Values.Tag != asn1.TagSet {
			return nil, ErrForm
		}
		var value asn1.RawValue
		more, err := asn1.Unmarshal(a.Values.Bytes, &value)
		if _, twice := all[a.Type.String()]; err != nil || len(more) > 0 || twice {
			return nil, ErrForm
		}
		all[a.Type.String()], der = value.FullBytes, rest
	}
	return all, nil
}

func hashOf(oid asn1.ObjectIdentifier) (crypto.Hash, error) {
	switch {
	case oid.Equal(oidSHA256):
		return crypto.SHA256, nil
	case oid.Equal(oidSHA384):
		return crypto.SHA384, nil
	case oid.Equal(oidSHA512):
		return crypto.SHA512, nil
	case oid.Equal(oidSHA1):
		return 0, ErrWeak
	}
	return 0, ErrUnknown
}
