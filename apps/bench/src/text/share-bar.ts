const eighths = ['', '▏', '▎', '▍', '▌', '▋', '▊', '▉']

/** A share, 0 to 1, as a bar of `columns` cells: solid as far as it goes, dotted for the rest. */
export function shareBar({ share, columns }: { share: number; columns: number }): string {
  const parts = Math.round(Math.max(0, Math.min(1, share)) * columns * 8)
  const solid = '█'.repeat(Math.floor(parts / 8)) + eighths[parts % 8]
  return solid + '·'.repeat(columns - solid.length)
}
