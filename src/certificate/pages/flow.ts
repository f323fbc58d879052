/** Points. */
export const paperSizes = { A4: [595.28, 841.89], Letter: [612, 792] } as const;

/** Something that stands on a page in one piece. Heights in points. */
export interface Block {
  readonly height: number;
  /** How much taller it may grow to fill a page. */
  readonly stretch?: number;
  /** Space before it, when not the layout's. */
  readonly gap?: number;
  /** Its name in the outline of the document. */
  readonly bookmark?: string;
  draw(x: number, y: number, height: number): void;
}

export interface Placed {
  readonly block: Block;
  readonly y: number;
  readonly height: number;
}

/**
 * Sets blocks on pages from the top, each in one piece. Where a page holds everything that is left, blocks that can
 * stretch share the room that would stay empty.
 * @param room usable height of the first and of every later page.
 */
export function placeBlocks(
  blocks: readonly Block[],
  room: { readonly first: number; readonly later: number },
  gap: number,
): readonly (readonly Placed[])[] {
  const pages: Block[][] = [[]];
  let used = 0;
  for (const block of blocks) {
    const page = pages.at(-1) ?? [];
    const space = page.length === 0 ? 0 : (block.gap ?? gap);
    const limit = pages.length === 1 ? room.first : room.later;
    if (page.length > 0 && used + space + block.height > limit + 0.01) {
      pages.push([block]);
      used = block.height;
    } else {
      page.push(block);
      used += space + block.height;
    }
  }
  return pages.map((page, index) => stretched(page, index === 0 ? room.first : room.later, gap));
}

function stretched(page: readonly Block[], limit: number, gap: number): readonly Placed[] {
  const space = (block: Block, index: number): number => (index === 0 ? 0 : (block.gap ?? gap));
  const used = page.reduce((sum, block, index) => sum + space(block, index) + block.height, 0);
  const elastic = page.reduce((sum, block) => sum + (block.stretch ?? 0), 0);
  const share = elastic === 0 ? 0 : Math.min(1, Math.max(0, limit - used) / elastic);
  let y = 0;
  return page.map((block, index) => {
    y += space(block, index);
    const placed = { block, y, height: block.height + share * (block.stretch ?? 0) };
    y += placed.height;
    return placed;
  });
}
