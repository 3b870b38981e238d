const alphabet = '0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ'
const modulus = alphabet.length

/**
 * The check character of a text of digits and capital letters. Other characters, such as hyphens, are passed over. It finds
 * every single wrong character and every two neighbours that changed places, but for a few pairs.
 *
 * Source: ISO/IEC 7064, hybrid system MOD 37,36: P(1) = 36, S(j) = P(j) mod 37 + a(j), P(j+1) = 2 (S(j) mod 36, or 36 for
 * none), and the check character makes the last S equal to 1 modulo 36. The law is from general knowledge (the text of the
 * standard was not seen); the test compares with published pairs.
 */
export function checkCharacter(text: string): string {
  let product = modulus
  for (const character of text.toUpperCase()) {
    const value = alphabet.indexOf(character)
    if (value < 0) continue
    const sum = (product + value) % modulus || modulus
    product = (2 * sum) % (modulus + 1)
  }
  return alphabet[(modulus + 1 - product) % modulus]!
}
