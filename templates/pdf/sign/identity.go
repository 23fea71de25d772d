package sign

import (
	"context"
	"crypto"
	"crypto/ecdsa"
	"crypto/rsa"
	"crypto/x509"
	"errors"
	"fmt"
	"time"

	"software.sslmate.com/src/go-pkcs12"
)

// Identity is a key with its certificate.
type Identity struct {
	key         crypto.Signer
	certificate *x509.Certificate
	chain       []*x509.Certificate // issuers that came with it
}

// What a key store is refused for.
var (
	ErrStore      = errors.New("sign: not a PKCS#12 key store")
	ErrPassphrase = errors.New("sign: wrong passphrase")
	ErrWork       = errors.New("sign: the key store asks for too much work")
	ErrKey        = errors.New("sign: a key or certificate that cannot sign")
)

// Bounds of a key store. Clinics' key stores have some kilobytes and ask for thousands of rounds.
const (
	maxStore      = 256 << 10 // bytes
	maxIterations = 2_000_000 // rounds of a password's derivation
	maxKeyLength  = 64        // bytes
	maxChain      = 8         // certificates
	minModulus    = 2048      // bits
)

// ReadIdentity reads a PKCS#12 key store (RFC 7292) in DER. How much work it may ask for is bounded where it
// can be seen, and by ctx where it is encrypted itself; after ctx is done the work may go on unseen, so that
// the caller should end.
func ReadIdentity(ctx context.Context, store []byte, passphrase string) (*Identity, error) {
	if err := Check(store); err != nil {
		return nil, err
	}
	type result struct {
		id  *Identity
		err error
	}
	done := make(chan result, 1)
	go func() {
		id, err := decode(store, passphrase)
		done <- result{id, err}
	}()
	select {
	case r := <-done:
		return r.id, r.err
	case <-ctx.Done():
		return nil, ErrWork
	}
}

func decode(store []byte, passphrase string) (id *Identity, err error) {
	defer func() {
		if v := recover(); v != nil {
			id, err = nil, ErrStore
		}
	}()
	key, certificate, chain, err := pkcs12.DecodeChain(store, passphrase)
	if errors.Is(err, pkcs12.ErrIncorrectPassword) || errors.Is(err, pkcs12.ErrDecryption) {
		return nil, ErrPassphrase
	}
	if err != nil {
		return nil, fmt.Errorf("%w: %w", ErrStore, err)
	}
	signer, ok := key.(crypto.Signer)
	if !ok || len(chain) > maxChain {
		return nil, ErrKey
	}
	id = &Identity{key: signer, certificate: certificate, chain: chain}
	return id, id.usable()
}

// usable checks that the key is of a kind that this package signs with, belongs to the certificate, and may
// sign at all.
func (id *Identity) usable() error {
	switch key := id.key.(type) {
	case *rsa.PrivateKey:
		if key.N.BitLen() < minModulus || !key.PublicKey.Equal(id.certificate.PublicKey) {
			return ErrKey
		}
	case *ecdsa.PrivateKey:
		if !key.PublicKey.Equal(id.certificate.PublicKey) {
			return ErrKey
		}
	default:
		return ErrKey
	}
	usage := id.certificate.KeyUsage
	if usage != 0 && usage&(x509.KeyUsageDigitalSignature|x509.KeyUsageContentCommitment) == 0 {
		return ErrKey
	}
	return nil
}

// Valid says whether the certificate holds at a time.
func (id *Identity) Valid(at time.Time) bool {
	return !at.Before(id.certificate.NotBefore) && !at.After(id.certificate.NotAfter)
}

// Holder is whose certificate it is, as the certificate says.
func (id *Identity) Holder() string { return holder(id.certificate) }

// Issuer is who issued it, as it says.
func (id *Identity) Issuer() string {
	return named(id.certificate.Issuer.CommonName, id.certificate.Issuer.String())
}

// Expires is the last moment at which it holds.
func (id *Identity) Expires() time.Time { return id.certificate.NotAfter }

// Room is how many bytes a signature of this identity needs at most.
func (id *Identity) Room() int {
	room := 2048 + len(id.certificate.Raw)
	for _, c := range id.chain {
		room += len(c.Raw)
	}
	return room
}

func holder(c *x509.Certificate) string { return named(c.Subject.CommonName, c.Subject.String()) }

func named(common, whole string) string {
	if common != "" {
		return common
	}
	return whole
}
