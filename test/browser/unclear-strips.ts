/** A misspelt header, a misspelt variety, a word for lodging that no table has. */
export function unclearStrips(): string {
  const rows = [2025, 2026].flatMap((season) =>
    [1, 2].flatMap((block) =>
      [0.7, 1, 1.3, 1.6, 1.9].map((rate) => {
        const name = season === 2026 && block === 2 ? "Lornwik" : "Lornwick";
        const bend = 14 * (rate - 1.3) ** 2;
        return `${name},${season},Creek,${block},${rate * 1e6},${(66 + block - bend).toFixed(1)},${rate > 1.5 ? "sagging" : "none"}`;
      }),
    ),
  );
  return `Varietty,Season,Field,Block,Rate (seeds/ac),Yield (bu/ac),Lodging\n${rows.join("\n")}\n`;
}
