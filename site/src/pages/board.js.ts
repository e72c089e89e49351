import { bundle } from "../bundle.ts";

export const GET = () => bundle("src/coverage/board.ts");
