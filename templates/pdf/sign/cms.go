package sign

import (
	"bytes"
	"crypto"
	"crypto/ecdsa"
	"crypto/sha256"
	"crypto/x509/pkix"
	"encoding/asn1"
	"fmt"
	"math/big"
	"slices"
)

// Object identifiers of CMS (RFC 5652), its algorithms (RFC 5754) and the signing certificate (RFC 5035).
var (
	oidData            = asn1.ObjectIdentifier{1, 2, 840, 113549, 1, 7, 1}
	oidSignedData      = asn1.ObjectIdentifier{1, 2, 840, 113549, 1, 7, 2}
	oidContentType     = asn1.ObjectIdentifier{1, 2, 840, 113549, 1, 9, 3}
	oidMessageDigest   = asn1.ObjectIdentifier{1, 2, 840, 113549, 1, 9, 4}
	oidSigningTime     = asn1.ObjectIdentifier{1, 2, 840, 113549, 1, 9, 5}
	oidSigningCert     = asn1.ObjectIdentifier{1, 2, 840, 113549, 1, 9, 16, 2, 12}
	oidSigningCertV2   = asn1.ObjectIdentifier{1, 2, 840, 113549, 1, 9, 16, 2, 47}
	oidTimestamp       = asn1.ObjectIdentifier{1, 2, 840, 113549, 1, 9, 16, 2, 14}
	oidSHA1            = asn1.ObjectIdentifier{1, 3, 14, 3, 2, 26}
	oidSHA256          = asn1.ObjectIdentifier{2, 16, 840, 1, 101, 3, 4, 2, 1}
	oidSHA384          = asn1.ObjectIdentifier{2, 16, 840, 1, 101, 3, 4, 2, 2}
	oidSHA512          = asn1.ObjectIdentifier{2, 16, 840, 1, 101, 3, 4, 2, 3}
	oidRSA             = asn1.ObjectIdentifier{1, 2, 840, 113549, 1, 1, 1}
	oidRSAPSS          = asn1.ObjectIdentifier{1, 2, 840, 113549, 1, 1, 10}
	oidRSAFamily       = asn1.ObjectIdentifier{1, 2, 840, 113549, 1, 1}
	oidECDSA           = asn1.ObjectIdentifier{1, 2, 840, 10045, 4, 3}
	oidECDSAWithSHA256 = asn1.ObjectIdentifier{1, 2, 840, 10045, 4, 3, 2}
)

type contentInfo struct {
	ContentType asn1.ObjectIdentifier
	Content     asn1.RawValue // explicit [0]
}

type signedData struct {
	Version      int
	Digests      []pkix.AlgorithmIdentifier `asn1:"set"`
	Content      encapsulated
	Certificates asn1.RawValue `asn1:"optional,tag:0"`
	Revocations  asn1.RawValue `asn1:"optional,tag:1"`
	Signers      []signerInfo  `asn1:"set"`
}

type encapsulated struct {
	ContentType asn1.ObjectIdentifier
	Content     asn1.RawValue `asn1:"optional,explicit,tag:0"`
}

type signerInfo struct {
	Version       int
	Signer        asn1.RawValue // issuerAndSerial, or subject key identifier [0]
	Digest        pkix.AlgorithmIdentifier
	Attributes    asn1.RawValue `asn1:"optional,tag:0"`
	SignatureWith pkix.AlgorithmIdentifier
	Signature     []byte
	Unsigned      asn1.RawValue `asn1:"optional,tag:1"`
}

type issuerAndSerial struct {
	Issuer asn1.RawValue
	Serial *big.Int
}

type attribute struct {
	Type   asn1.ObjectIdentifier
	Values asn1.RawValue // SET OF
}

// signingCertificateV2 names the certificate by its hash, SHA-256 by default (RFC 5035, 3).
type signingCertificateV2 struct{ Certificates []essCertIDv2 }

type essCertIDv2 struct {
	Algorithm pkix.AlgorithmIdentifier `asn1:"optional"`
	Hash      []byte
	Issuer    asn1.RawValue `asn1:"optional"`
}

// detached is the CMS signature over the joined parts, in DER.
func (id *Identity) detached(parts ...[]byte) ([]byte, error) {
	content := sha256.New()
	for _, p := range parts {
		_, _ = content.Write(p) // a hash takes everything
	}
	attributes, err := id.attributes(content.Sum(nil))
	if err != nil {
		return nil, err
	}
	// What is signed is the attributes as a SET (RFC 5652, 5.4).
	set, err := asn1.Marshal(asn1.RawValue{Tag: asn1.TagSet, IsCompound: true, Bytes: attributes})
	if err != nil {
		return nil, fmt.Errorf("sign: %w", err)
	}
	digest := sha256.Sum256(set)
	// Without a source of randomness both kinds of keys sign the same way twice (RFC 6979 for ECDSA).
	signature, err := id.key.Sign(nil, digest[:], crypto.SHA256)
	if err != nil {
		return nil, fmt.Errorf("sign: %w", err)
	}
	return id.wrap(attributes, signature)
}

func (id *Identity) wrap(attributes, signature []byte) ([]byte, error) {
	sha := pkix.AlgorithmIdentifier{Algorithm: oidSHA256}
	with := pkix.AlgorithmIdentifier{Algorithm: oidRSA, Parameters: asn1.NullRawValue}
	if _, ok := id.key.(*ecdsa.PrivateKey); ok {
		with = pkix.AlgorithmIdentifier{Algorithm: oidECDSAWithSHA256}
	}
	signer, err := asn1.Marshal(issuerAndSerial{asn1.RawValue{FullBytes: id.certificate.RawIssuer}, id.certificate.SerialNumber})
	if err != nil {
		return nil, fmt.Errorf("sign: %w", err)
	}
	certificates := bytes.Clone(id.certificate.Raw)
	for _, c := range id.chain {
		certificates = append(certificates, c.Raw...)
	}
	data, err := asn1.Marshal(signedData{
		Version: 1, Digests: []pkix.AlgorithmIdentifier{sha}, Content: encapsulated{ContentType: oidData},
		Certificates: implicit(0, certificates),
		Signers: []signerInfo{{
			Version: 1, Signer: asn1.RawValue{FullBytes: signer}, Digest: sha,
			Attributes: implicit(0, attributes), SignatureWith: with, Signature: signature,
		}},
	})
	if err != nil {
		return nil, fmt.Errorf("sign: %w", err)
	}
	der, err := asn1.Marshal(contentInfo{oidSignedData, implicit(0, data)})
	if err != nil {
		return nil, fmt.Errorf("sign: %w", err)
	}
	return der, nil
}

func implicit(tag int, der []byte) asn1.RawValue {
	return asn1.RawValue{Class: asn1.ClassContextSpecific, Tag: tag, IsCompound: true, Bytes: der}
}

// attributes are the signed attributes in the order of their encodings, as DER wants of a SET OF.
func (id *Identity) attributes(digest []byte) ([]byte, error) {
	certificate := sha256.Sum256(id.certificate.Raw)
	var all [][]byte
	for _, a := range []struct {
		oid   asn1.ObjectIdentifier
		value any
	}{
		{oidContentType, oidData},
		{oidMessageDigest, digest},
		{oidSigningCertV2, signingCertificateV2{[]essCertIDv2{{Hash: certificate[:]}}}},
	} {
		value, err := asn1.Marshal(a.value)
		if err != nil {
			return nil, fmt.Errorf("sign: %w", err)
		}
		der, err := asn1.Marshal(attribute{a.oid, asn1.RawValue{Tag: asn1.TagSet, IsCompound: true, Bytes: value}})
		if err != nil {
			return nil, fmt.Errorf("sign: %w", err)
		}
		all = append(all, der)
	}
	slices.SortFunc(all, bytes.Compare)
	return bytes.Join(all, nil), nil
}
