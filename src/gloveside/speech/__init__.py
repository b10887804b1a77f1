"""From sound to words: decoding audio, the engines behind one protocol, the vocabulary that primes them."""
