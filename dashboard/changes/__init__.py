"""Did a noted change work, and will a target be reached?"""
